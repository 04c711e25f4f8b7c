// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// `text` as valid UTF-8 on one line: control characters (C0, C1, DEL) and marks that turn the direction of reading
/// become spaces, byte sequences that are not UTF-8 or not allowed in XML 1.0 become U+FFFD. Names come from the user's
/// file, so nothing else may reach a terminal.
std::string clean_text(const std::string &text);

/// The same for each line: line ends stay.
std::string clean_lines(const std::string &text);

}  // namespace stillbox
