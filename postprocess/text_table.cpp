// SPDX-License-Identifier: MIT
#include "postprocess/text_table.h"

#include <algorithm>
#include <cassert>
#include <sstream>

#include "postprocess/text.h"

namespace stillbox {
namespace {

std::vector<std::string> split_lines(const std::string &text) {
  std::vector<std::string> lines(1);
  for (const char c : text) {
    if (c == '\n') {
      lines.emplace_back();
    } else {
      lines.back() += c;
    }
  }
  return lines;
}

std::size_t widest(const std::vector<std::string> &lines) {
  std::size_t width = 0;
  for (const std::string &line : lines) width = std::max(width, display_width(line));
  return width;
}

/// The shortest width in which no word of a column is broken.
std::size_t longest_word(const std::vector<std::vector<std::string>> &rows, std::size_t column) {
  std::size_t longest = 1;
  for (const auto &row : rows) {
    std::istringstream words(column < row.size() ? row[column] : "");
    for (std::string word; words >> word;) longest = std::max(longest, display_width(word));
  }
  return longest;
}

/// Cells (each a list of lines) side by side.
std::string row_text(const std::vector<Column> &columns, const std::vector<std::size_t> &widths,
                     const std::vector<std::vector<std::string>> &cells, bool bottom) {
  std::size_t height = 1;
  for (const auto &cell : cells) height = std::max(height, cell.size());
  std::string out;
  for (std::size_t l = 0; l < height; ++l) {
    std::string line;
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const std::vector<std::string> &cell = cells[c];
      const std::size_t skipped = bottom ? height - cell.size() : 0;  // headings stand on the dashes
      const std::string text = l >= skipped && l - skipped < cell.size() ? cell[l - skipped] : "";
      if (c > 0) line += "  ";
      line += columns[c].align == Align::right ? pad_left(text, widths[c]) : pad_right(text, widths[c]);
    }
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

}  // namespace

std::string text_table(const std::vector<Column> &columns, const std::vector<std::vector<std::string>> &rows,
                       std::size_t width) {
  assert(!columns.empty());
  std::vector<std::vector<std::string>> headings;
  std::vector<std::size_t> widths;
  for (std::size_t c = 0; c < columns.size(); ++c) {
    headings.push_back(split_lines(columns[c].heading));
    std::size_t w = 1;
    for (const auto &row : rows) w = std::max(w, c < row.size() ? display_width(row[c]) : 0);
    if (columns[c].most > 0) w = std::min(w, columns[c].most);
    widths.push_back(std::max(w, widest(headings[c])));
  }
  const std::size_t last = columns.size() - 1;
  const auto room = [&] {  // for the last column
    std::size_t used = 0;
    for (std::size_t c = 0; c < last; ++c) used += widths[c] + 2;
    return width - std::min(width, used);
  };
  const std::size_t needed = std::max({std::size_t(8), longest_word(rows, last), widest(headings[last])});
  // Where the last column's words do not fit, those that are wrapped anyway give way as far as their own words do.
  for (std::size_t c = last; c-- > 0 && room() < needed;) {
    if (columns[c].most == 0) continue;
    const std::size_t least = std::max(longest_word(rows, c), widest(headings[c]));
    if (widths[c] > least) widths[c] -= std::min(widths[c] - least, needed - room());
  }
  widths[last] = std::min(widths[last], std::max<std::size_t>(room(), 8));

  std::string out = row_text(columns, widths, headings, true);
  std::string rule;
  for (std::size_t c = 0; c < widths.size(); ++c) rule += (c > 0 ? "  " : "") + std::string(widths[c], '-');
  out += rule + "\n";
  for (const auto &row : rows) {
    std::vector<std::vector<std::string>> cells;
    for (std::size_t c = 0; c < columns.size(); ++c) cells.push_back(wrap(c < row.size() ? row[c] : "", widths[c]));
    out += row_text(columns, widths, cells, false);
  }
  return out;
}

}  // namespace stillbox
