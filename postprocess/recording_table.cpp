// SPDX-License-Identifier: MIT
#include "postprocess/recording_table.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <fstream>
#include <sstream>

#include "mesh/case_file.h"
#include "mesh/length.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr std::size_t largest_table = std::size_t(256) << 20;  // bytes

[[noreturn]] void refuse(const std::string &path, int line, const std::string &why) {
  throw CaseError(fmt::format("{}:{}: {}", clean_text(path), line, why));
}

std::string shown(const std::string &cell) { return "\"" + shorten(clean_text(cell), 40) + "\""; }

}  // namespace

std::string read_text_file(const std::string &path, std::size_t most) {
  std::ifstream stream(path, std::ios::binary);
  std::ostringstream content;
  if (!stream || !(content << stream.rdbuf()))
    throw CaseError(clean_text(path) + ": cannot be read, or is empty; check the file and its permissions");
  if (content.str().size() > most)
    throw CaseError(
        fmt::format("{}: has {} bytes; allowed: up to {} MiB", clean_text(path), content.str().size(), most >> 20));
  return content.str();
}

std::vector<std::string> cells_of(std::string_view line, char separator) {
  std::vector<std::string> cells;
  std::size_t from = 0;
  for (;;) {
    const std::size_t to = std::min(line.find(separator, from), line.size());
    std::string_view cell = line.substr(from, to - from);
    const auto blank = [](char c) { return c == ' ' || c == '\r' || c == '\t'; };
    while (!cell.empty() && blank(cell.front())) cell.remove_prefix(1);
    while (!cell.empty() && blank(cell.back())) cell.remove_suffix(1);
    if (cell.size() >= 2 && cell.front() == '"' && cell.back() == '"') cell = cell.substr(1, cell.size() - 2);
    cells.emplace_back(cell);
    if (to == line.size()) return cells;
    from = to + 1;
  }
}

bool read_number(const std::string &cell, double &value) {
  const char *begin = cell.data() + (!cell.empty() && cell[0] == '+');
  const char *end = cell.data() + cell.size();
  const auto [stop, error] = std::from_chars(begin, end, value);
  return error == std::errc() && stop == end && begin != end && std::isfinite(value);
}

Recording read_recording_table(const std::string &path, int channel) {
  const std::string text = read_text_file(path, largest_table);
  Recording r;
  r.path = path;
  r.acceleration = true;
  r.channel = std::max(channel, 1);
  std::vector<double> times;
  std::vector<int> lines;
  char separator = 0;
  int number = 0;
  bool may_be_heading = true;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find('\n', from), text.size());
    const std::string_view line(text.data() + from, to - from);
    from = to + 1;
    ++number;
    if (line.find_first_not_of(" \t\r") == std::string_view::npos || line[0] == '#') continue;
    if (separator == 0)
      separator = line.find(';') != std::string_view::npos    ? ';'
                  : line.find('\t') != std::string_view::npos ? '\t'
                                                              : ',';
    const std::vector<std::string> cells = cells_of(line, separator);
    if (r.channels == 1 && times.empty() && may_be_heading) {
      if (cells.size() < 2)
        refuse(path, number, "has one column; allowed: time in s, then acceleration in m/s2, parted by commas");
      r.channels = int(cells.size()) - 1;
      if (r.channel > r.channels)
        refuse(path, number,
               fmt::format("--channel {}: the table has {} columns of acceleration; allowed 1 .. {}", r.channel,
                           r.channels, r.channels));
      may_be_heading = false;
      double ignored = 0;
      if (!read_number(cells[0], ignored)) continue;
    }
    if (int(cells.size()) != r.channels + 1)
      refuse(path, number,
             fmt::format("has {} cells; allowed {}, as in the first row; numbers take a decimal point, not a comma",
                         cells.size(), r.channels + 1));
    double time = 0, value = 0;
    if (!read_number(cells[0], time)) refuse(path, number, "time " + shown(cells[0]) + ": must be a number, in s");
    const std::string &cell = cells[std::size_t(r.channel)];
    if (!read_number(cell, value)) refuse(path, number, "acceleration " + shown(cell) + ": must be a number, in m/s2");
    if (!times.empty() && time <= times.back())
      refuse(path, number,
             fmt::format("time {} s: must be later than {} s in the row before", number_text(time),
                         number_text(times.back())));
    times.push_back(time);
    lines.push_back(number);
    r.samples.push_back(value);
  }
  if (times.size() < 2) refuse(path, number, "holds less than two rows of numbers; is it the right file?");
  const double step = (times.back() - times.front()) / double(times.size() - 1);
  // Times are often printed with few digits: each must lie within 2 % of a step of where even steps put it, plus what
  // rounding to the sixth digit makes.
  for (std::size_t i = 0; i < times.size(); ++i) {
    const double off = times[i] - (times.front() + step * double(i));
    if (std::abs(off) > 0.02 * step + 1e-6 * std::abs(times[i]))
      refuse(path, lines[i],
             fmt::format("time {} s: lies {} s off even steps of {} s; allowed: even steps within 2 %; "
                         "export at a constant rate, or resample",
                         number_text(times[i]), number_text(std::abs(off)), number_text(step)));
  }
  r.rate = 1 / step;
  return r;
}

}  // namespace stillbox
