// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

enum class Align { left, right };

struct Column {
  std::string heading;
  Align align = Align::right;
  std::size_t most = 0;  ///< widest it may get, longer cells are wrapped; 0 = as wide as its longest cell
};

/// A table in plain text, columns two spaces apart, a line of dashes under the headings. The last column is wrapped
/// into what is left of `width`; where its words do not fit, columns with a `most` become narrower, down to their own
/// longest word. Headings may hold several lines parted by '\n'. Rows with fewer cells are filled up.
/// No line ends in a space. No line is longer than `width` as long as the columns before the last leave it 8.
std::string text_table(const std::vector<Column> &columns, const std::vector<std::vector<std::string>> &rows,
                       std::size_t width);

}  // namespace stillbox
