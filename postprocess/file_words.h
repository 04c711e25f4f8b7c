// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// Names as parts of file names: letters a-z, digits and single dashes, "variant" when nothing is left; a word that is
/// taken already gets "-2", "-3" ...
std::vector<std::string> file_words(const std::vector<std::string> &names);

}  // namespace stillbox
