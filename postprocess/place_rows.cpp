// SPDX-License-Identifier: MIT
#include "postprocess/place_rows.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "postprocess/modes_json.h"
#include "postprocess/safe_file.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

const std::vector<std::string> row_columns = {"search",       "line",   "line_of", "at_mm",          "rule",
                                              "how",          "reason", "mass_kg", "inner_volume_l", "frequencies_hz",
                                              "loss_factors", "shapes"};

std::string numbers_text(const Eigen::VectorXd &values, const char *format) {
  std::string text;
  for (const double v : values) text += (text.empty() ? "" : " ") + fmt::format(fmt::runtime(format), v);
  return text;
}

[[noreturn]] void refuse(std::size_t line, const std::string &column, const std::string &cell,
                         const std::string &allowed) {
  throw std::runtime_error(
      fmt::format("line {}, {}: \"{}\"; allowed: {}", line, column, shorten(clean_text(cell), 40), allowed));
}

// A whole cell as a number within low .. high.
double number_in(const std::string &cell, std::size_t line, const char *column, double low, double high) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc() || end != cell.data() + cell.size() || !(value >= low && value <= high))
    refuse(line, column, cell, fmt::format("a number, {:g} .. {:g}", low, high));
  return value;
}

// Numbers parted by single spaces.
Eigen::VectorXd numbers_in(const std::string &cell, std::size_t line, const char *column, double low, double high) {
  std::vector<double> values;
  for (std::size_t at = 0; at < cell.size();) {
    const std::size_t end = std::min(cell.find(' ', at), cell.size());
    values.push_back(number_in(cell.substr(at, end - at), line, column, low, high));
    at = end + 1;
  }
  return Eigen::Map<const Eigen::VectorXd>(values.data(), Eigen::Index(values.size()));
}

std::string shapes_text(const Eigen::MatrixXd &samples) {
  std::string text;
  for (int i = 0; i < samples.cols(); ++i) {
    if (i > 0) text += ";";
    // The sign of a shape is free: the largest movement counts as outwards.
    Eigen::Index largest = 0;
    const double most = samples.rows() > 0 ? samples.col(i).cwiseAbs().maxCoeff(&largest) : 0;
    const double scale = most > 0 ? 99 / samples(largest, i) : 0;
    for (int k = 0; k < samples.rows(); ++k)
      text += (k > 0 ? " " : "") + fmt::format("{}", int(std::lround(scale * samples(k, i))));
  }
  return text;
}

Eigen::MatrixXd shapes_of(const std::string &cell, std::size_t line, Eigen::Index modes) {
  std::vector<Eigen::VectorXd> columns;
  std::size_t at = 0;
  for (Eigen::Index i = 0; i < modes; ++i) {
    const std::size_t end = std::min(cell.find(';', at), cell.size());
    columns.push_back(numbers_in(cell.substr(at, end - at), line, "shapes", -99, 99));
    at = std::min(end + 1, cell.size());
  }
  if (at < cell.size()) refuse(line, "shapes", cell, "as many shapes as frequencies");
  Eigen::MatrixXd samples(columns.empty() ? 0 : columns[0].size(), modes);
  for (Eigen::Index i = 0; i < modes; ++i) {
    if (columns[i].size() != samples.rows()) refuse(line, "shapes", cell, "shapes of one length");
    samples.col(i) = columns[i];
  }
  return samples;
}

// Cells of the lines of an RFC 4180 text; a last line without an end is dropped.
std::vector<std::vector<std::string>> csv_lines(const std::string &text) {
  std::vector<std::vector<std::string>> lines;
  std::vector<std::string> cells{""};
  bool quoted = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (quoted) {
      if (c == '"' && i + 1 < text.size() && text[i + 1] == '"') {
        cells.back() += '"';
        ++i;
      } else if (c == '"') {
        quoted = false;
      } else {
        cells.back() += c;
      }
    } else if (c == '"') {
      quoted = true;
    } else if (c == ',') {
      cells.emplace_back();
    } else if (c == '\n') {
      lines.push_back(cells);
      cells = {""};
    } else if (c != '\r') {
      cells.back() += c;
    }
  }
  return lines;
}

}  // namespace

std::string place_rows_header() { return csv_line(row_columns); }

std::string place_row_text(const PlaceRow &row) {
  return csv_line({row.search, std::to_string(row.line + 1), row.line_of, fmt::format("{:.6g}", row.at), row.rule,
                   row.how, row.reason, fmt::format("{:.4f}", row.mass), fmt::format("{:.4f}", 1e3 * row.volume),
                   numbers_text(row.modes.frequency, "{:.3f}"), numbers_text(row.modes.loss_factor, "{:.5f}"),
                   shapes_text(row.modes.samples)});
}

PlaceRow rounded(const PlaceRow &row) { return read_place_rows(place_rows_header() + place_row_text(row)).front(); }

std::vector<PlaceRow> read_place_rows(const std::string &text) {
  const auto lines = csv_lines(text);
  if (lines.empty()) return {};
  if (lines[0] != row_columns) throw std::runtime_error("it is not a candidates.csv of `place`");
  std::vector<PlaceRow> rows;
  for (std::size_t i = 1; i < lines.size(); ++i) {
    const auto &cells = lines[i];
    if (cells.size() != row_columns.size())
      throw std::runtime_error(
          fmt::format("line {} has {} cells instead of {}", i + 1, cells.size(), row_columns.size()));
    PlaceRow row;
    row.search = cells[0];
    const double number = number_in(cells[1], i + 1, "line", 1, 1e6);
    if (number != std::floor(number)) refuse(i + 1, "line", cells[1], "a whole number");
    row.line = int(number) - 1;
    row.line_of = cells[2];
    row.at = number_in(cells[3], i + 1, "at_mm", -1e5, 1e5);
    row.rule = cells[4];
    row.how = cells[5];
    if (row.how != "refused" && row.how != "reduced" && row.how != "full")
      refuse(i + 1, "how", row.how, "refused, reduced, full");
    row.reason = cells[6];
    row.mass = number_in(cells[7], i + 1, "mass_kg", 0, 1e6);
    row.volume = 1e-3 * number_in(cells[8], i + 1, "inner_volume_l", 0, 1e9);
    row.modes.frequency = numbers_in(cells[9], i + 1, "frequencies_hz", 0, 1e6);
    row.modes.loss_factor = numbers_in(cells[10], i + 1, "loss_factors", 0, 10);
    if (row.modes.loss_factor.size() != row.modes.frequency.size())
      throw std::runtime_error(fmt::format("line {}: not as many loss factors as frequencies", i + 1));
    row.modes.samples = shapes_of(cells[11], i + 1, row.modes.frequency.size());
    rows.push_back(std::move(row));
  }
  return rows;
}

void sort_place_rows(std::vector<PlaceRow> &rows) {
  std::stable_sort(rows.begin(), rows.end(), [](const PlaceRow &a, const PlaceRow &b) {
    return a.line != b.line ? a.line < b.line : a.at < b.at;
  });
  rows.erase(std::unique(rows.begin(), rows.end(),
                         [](const PlaceRow &a, const PlaceRow &b) { return a.line == b.line && a.at == b.at; }),
             rows.end());
}

std::string place_rows_text(const std::vector<PlaceRow> &rows) {
  std::string text = place_rows_header();
  for (const PlaceRow &row : rows) text += place_row_text(row);
  return text;
}

void append_to_file(const std::string &path, const std::string &text) {
  const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0666);
  const auto fail = [&](int error) {
    const std::error_code code(error, std::generic_category());
    if (file >= 0) ::close(file);
    throw OutputError(path, code.message(), code);
  };
  if (file < 0) fail(errno);
  std::size_t done = 0;
  while (done < text.size()) {
    const ssize_t written = ::write(file, text.data() + done, text.size() - done);
    if (written < 0 && errno == EINTR) continue;
    if (written < 0) fail(errno);
    done += std::size_t(written);
  }
  if (::fsync(file) != 0 && errno != EINVAL) fail(errno);
  if (::close(file) != 0) throw OutputError(path, "it could not be closed");
}

}  // namespace stillbox
