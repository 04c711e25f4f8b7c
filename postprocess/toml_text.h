// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// A basic string of TOML 1.0 in quotes, on one line; control characters become spaces (see clean_text).
std::string toml_string(const std::string &text);

/// A bare or quoted key, as TOML wants it.
std::string toml_key(const std::string &key);

/// Cells between commas, without the blanks around them. Quotes have no meaning, so a cell holds no comma.
std::vector<std::string> comma_cells(const std::string &text);

/// Without blanks at both ends.
std::string without_blanks(const std::string &text);

/// The text of a case file with a block of tables after a blank line at its end.
std::string text_with_block(const std::string &case_path, const std::string &block);

}  // namespace stillbox
