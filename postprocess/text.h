// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/clean_text.h"

namespace stillbox {

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

/// "1 mode", "2 modes": a count and its word, with an s unless it is one.
std::string counted(std::size_t count, const std::string &word);

/// Cleaned text with the five XML characters escaped: fit for element content and for quoted attributes.
std::string escape_xml(const std::string &text);

}  // namespace stillbox
