// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// `text` as valid UTF-8 on one line: control characters (C0, C1, DEL) become spaces, byte sequences that are not UTF-8
/// or not allowed in XML 1.0 become U+FFFD. Names come from the user's file, so nothing else may reach a terminal.
std::string clean_text(const std::string &text);

/// Number of code points, taken as the number of terminal columns (wide scripts are not measured).
std::size_t display_width(const std::string &text);

/// Padded with spaces to `width` columns; longer text is left as it is.
std::string pad_right(const std::string &text, std::size_t width);
std::string pad_left(const std::string &text, std::size_t width);

/// The first `width` columns; when something is cut off, the last of them is "~".
std::string shorten(const std::string &text, std::size_t width);

/// Lines of at most `width` columns (> 0), broken at spaces; words longer than a line are broken anywhere.
std::vector<std::string> wrap(const std::string &text, std::size_t width);

/// Wrapped text with `first` before the first line and as many spaces before the others; every line ends in '\n'.
std::string paragraph(const std::string &first, const std::string &text, std::size_t width);

/// Cleaned text with the five XML characters escaped: fit for element content and for quoted attributes.
std::string escape_xml(const std::string &text);

}  // namespace stillbox
