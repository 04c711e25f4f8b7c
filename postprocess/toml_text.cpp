// SPDX-License-Identifier: MIT
#include "postprocess/toml_text.h"

#include <algorithm>

#include "postprocess/child_process.h"
#include "postprocess/text.h"

namespace stillbox {

std::string toml_string(const std::string &text) {
  std::string out = "\"";
  for (const char c : clean_text(text)) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string toml_key(const std::string &key) {
  const bool is_bare = !key.empty() && std::all_of(key.begin(), key.end(), [](unsigned char c) {
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-' || c == '_';
  });
  return is_bare ? key : toml_string(key);
}

std::string without_blanks(const std::string &text) {
  const char *const blanks = " \t\r\n";
  const std::size_t from = text.find_first_not_of(blanks);
  return from == std::string::npos ? "" : text.substr(from, text.find_last_not_of(blanks) - from + 1);
}

std::vector<std::string> comma_cells(const std::string &text) {
  std::vector<std::string> cells;
  std::size_t from = 0;
  for (std::size_t at = text.find(','); at != std::string::npos; at = text.find(',', from)) {
    cells.push_back(without_blanks(text.substr(from, at - from)));
    from = at + 1;
  }
  cells.push_back(without_blanks(text.substr(from)));
  return cells;
}

std::string text_with_block(const std::string &case_path, const std::string &block) {
  std::string text = bytes_of_file(case_path);
  if (!text.empty() && text.back() != '\n') text += '\n';
  return text + "\n" + block;
}

}  // namespace stillbox
