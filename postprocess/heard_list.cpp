// SPDX-License-Identifier: MIT
#include "postprocess/heard_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <optional>
#include <sstream>

#include "mesh/case_file.h"
#include "mesh/case_node.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr std::uintmax_t largest_file = 1 << 20;  // bytes
constexpr std::size_t most_lines = 1000;

struct ColumnRule {
  const char *name;
  double low, high;
  bool whole;
};
constexpr std::array<ColumnRule, 7> rules{{{"frequency_hz", 1, 20000, false},
                                           {"frequency_sd_hz", 0, 10000, false},
                                           {"loss_factor", 0, 2, false},
                                           {"loss_factor_sd", 0, 2, false},
                                           {"level_db", -300, 300, false},
                                           {"knocks", 0, 10000, true},
                                           {"mode", 1, 100000, true}}};

std::string trimmed(const std::string &text) {
  const std::size_t first = text.find_first_not_of(" \t\r");
  return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t\r") - first + 1);
}

// Cells of one line; quotes as in RFC 4180. Nothing when a quote stays open.
std::optional<std::vector<std::string>> cells_of(const std::string &line) {
  std::vector<std::string> cells{""};
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quoted && c == '"' && i + 1 < line.size() && line[i + 1] == '"') {
      cells.back() += c;
      ++i;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (c == ',' && !quoted) {
      cells.emplace_back();
    } else {
      cells.back() += c;
    }
  }
  if (quoted) return std::nullopt;
  for (std::string &cell : cells) cell = trimmed(cell);
  return cells;
}

std::optional<double> number_in(const std::string &cell) {
  double value = 0;
  const char *first = cell.data() + (cell[0] == '+' ? 1 : 0), *last = cell.data() + cell.size();
  const auto [end, error] = std::from_chars(first, last, value);
  if (error != std::errc() || end != last || !std::isfinite(value)) return std::nullopt;
  return value;
}

CaseError failure(const std::string &path, const std::string &why) {
  Problems problems;
  problems.add({path, 0, ""}, "", "", why);
  return CaseError(problems.message());
}

void drop_byte_order_mark(std::string &text) {
  if (text.rfind("\xEF\xBB\xBF", 0) == 0) text.erase(0, 3);
}

std::string text_of(const std::string &path) {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found)
    throw failure(path, "there is no such file; check the name and the folder");
  if (status.type() == fs::file_type::directory)
    throw failure(path, "is a folder; name the list of heard frequencies in it, such as " + path + "/heard.csv");
  if (!fs::is_regular_file(status)) throw failure(path, "is not an ordinary file; name a list of heard frequencies");
  const std::uintmax_t size = fs::file_size(path, error);
  if (error) throw failure(path, "cannot be read: " + error.message());
  if (size > largest_file) throw failure(path, fmt::format("has {} bytes; allowed: up to 1 MiB (1048576 bytes)", size));
  std::ifstream stream(path, std::ios::binary);
  std::ostringstream content;
  if (size > 0 && !(content << stream.rdbuf())) throw failure(path, "cannot be read; check its permissions");
  std::string text = content.str();
  drop_byte_order_mark(text);
  return text;
}

struct Reading {
  const std::string &path;
  Problems problems;
  std::map<std::string, std::size_t> column;

  void refuse(int line, const std::string &key, const std::string &value, const std::string &allowed,
              const std::string &advice) {
    problems.add({path, line, key}, "\"" + shorten(clean_text(value), 40) + "\"", allowed, advice);
  }

  void read_headings(int line, const std::string &text, const std::vector<std::string> &cells) {
    for (std::size_t c = 0; c < cells.size(); ++c)
      if (!cells[c].empty() && !column.emplace(cells[c], c).second)
        refuse(line, cells[c], cells[c], "each column once", "remove one of the two");
    if (column.count("frequency_hz")) return;
    const std::string near = suggestion("frequency_hz", cells);
    refuse(line, "frequency_hz", text, "a line of headings with a column frequency_hz",
           text.find(';') != std::string::npos ? "part the columns by commas, not semicolons"
           : near.empty()                      ? "write frequency_hz above the frequencies"
                                               : near);
  }

  // The number in a column of one line; `missing` when it is not given or wrong (which is reported).
  double number(int line, const std::vector<std::string> &cells, const char *name, double missing) {
    const auto at = column.find(name);
    if (at == column.end() || at->second >= cells.size() || cells[at->second].empty()) return missing;
    const std::string &cell = cells[at->second];
    const ColumnRule &rule =
        *std::find_if(rules.begin(), rules.end(), [&](const ColumnRule &r) { return std::string(name) == r.name; });
    const std::string allowed =
        fmt::format("{}{} .. {}", rule.whole ? "a whole number " : "", number_text(rule.low), number_text(rule.high));
    const auto value = number_in(cell);
    if (!value) {
      refuse(line, name, cell, allowed, "write a number with a decimal point, without a unit");
      return missing;
    }
    if (*value >= rule.low && *value <= rule.high && (!rule.whole || *value == std::floor(*value))) return *value;
    refuse(line, name, cell, allowed, "correct it, or leave the cell empty");
    return missing;
  }

  std::optional<HeardLine> read_line(int line, const std::vector<std::string> &cells, std::size_t headings) {
    const std::size_t before = problems.found;
    if (cells.size() > headings) {
      refuse(line, "", fmt::format("{} cells", cells.size()), fmt::format("up to {}, as in the headings", headings),
             "a decimal comma parts cells too: write a point; put names with commas in quotes");
      return std::nullopt;
    }
    HeardLine h;
    h.line = line;
    const double none = std::numeric_limits<double>::quiet_NaN();
    h.heard.frequency = number(line, cells, "frequency_hz", none);
    h.heard.frequency_sd = number(line, cells, "frequency_sd_hz", assumed_frequency_sd * h.heard.frequency);
    h.heard.loss_factor = number(line, cells, "loss_factor", none);
    h.heard.loss_factor_sd = number(line, cells, "loss_factor_sd", assumed_loss_sd * h.heard.loss_factor);
    h.heard.level_db = number(line, cells, "level_db", 0);
    h.heard.knocks = int(number(line, cells, "knocks", 0));
    h.mode = int(number(line, cells, "mode", 0));
    const auto wall = column.find("wall");
    if (wall != column.end() && wall->second < cells.size()) h.wall = cells[wall->second];
    if (problems.found > before) return std::nullopt;
    if (std::isnan(h.heard.frequency)) {
      refuse(line, "frequency_hz", "", "1 .. 20000", "every line needs its frequency: add it, or remove the line");
      return std::nullopt;
    }
    if (h.heard.frequency_sd > 0.5 * h.heard.frequency) {
      refuse(line, "frequency_sd_hz", number_text(h.heard.frequency_sd), "up to half of the frequency",
             "it is in Hz, one standard deviation");
      return std::nullopt;
    }
    return h;
  }
};

bool is_skipped(const std::string &line) {
  const std::string text = trimmed(line);
  return text.empty() || text[0] == '#';
}

}  // namespace

bool is_heard_list(const std::string &path) {
  std::error_code error;
  if (!std::filesystem::is_regular_file(path, error)) return false;
  std::ifstream stream(path, std::ios::binary);
  std::string head(4096, '\0');
  stream.read(head.data(), std::streamsize(head.size()));
  head.resize(std::size_t(stream.gcount()));
  drop_byte_order_mark(head);
  std::istringstream lines(head);
  for (std::string line; std::getline(lines, line);)
    if (!is_skipped(line)) return line.find("frequency_hz") != std::string::npos;
  return false;
}

std::vector<HeardLine> read_heard_list(const std::string &path) {
  const std::string text = text_of(path);
  Reading reading{path, {}, {}};
  std::vector<HeardLine> list;
  std::map<int, int> line_of_mode;
  std::istringstream lines(text);
  std::size_t headings = 0;
  int number = 0;
  for (std::string line; std::getline(lines, line);) {
    ++number;
    if (is_skipped(line)) continue;
    const auto cells = cells_of(line);
    if (!cells) {
      reading.refuse(number, "", line, "quotes in pairs", "close the quote in the line where it opens");
      if (headings == 0) break;
      continue;
    }
    if (headings == 0) {
      headings = cells->size();
      reading.read_headings(number, line, *cells);
      if (reading.problems.found > 0) break;
      continue;
    }
    const auto heard = reading.read_line(number, *cells, headings);
    if (!heard) continue;
    if (heard->mode > 0) {
      const auto [old, is_new] = line_of_mode.emplace(heard->mode, number);
      if (!is_new)
        reading.refuse(number, "mode", std::to_string(heard->mode), "each mode once",
                       fmt::format("line {} is this mode already; correct one of them", old->second));
    }
    list.push_back(*heard);
    if (list.size() > most_lines) {
      reading.refuse(number, "", "more lines", "up to 1000 frequencies", "shorten the list");
      break;
    }
  }
  if (list.empty() && reading.problems.found == 0)
    reading.problems.add({path, 0, ""}, "", "",
                         "holds no frequencies; it needs a line of headings with frequency_hz and one line for each");
  if (reading.problems.found > 0) throw CaseError(reading.problems.message());
  std::stable_sort(list.begin(), list.end(),
                   [](const HeardLine &a, const HeardLine &b) { return a.heard.frequency < b.heard.frequency; });
  return list;
}

}  // namespace stillbox
