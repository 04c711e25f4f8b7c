// SPDX-License-Identifier: MIT
#include "postprocess/place_rows.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <stdexcept>

#include "postprocess/modes_json.h"
#include "postprocess/safe_file.h"

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

std::vector<double> numbers_of(const std::string &text) {
  std::vector<double> values;
  const char *at = text.c_str();
  for (;;) {
    char *end = nullptr;
    const double value = std::strtod(at, &end);
    if (end == at) break;
    values.push_back(value);
    at = end;
  }
  return values;
}

Eigen::VectorXd vector_of(const std::string &text) {
  const std::vector<double> values = numbers_of(text);
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

Eigen::MatrixXd shapes_of(const std::string &text, Eigen::Index modes) {
  std::vector<Eigen::VectorXd> columns;
  std::size_t at = 0;
  for (Eigen::Index i = 0; i < modes; ++i) {
    const std::size_t end = std::min(text.find(';', at), text.size());
    columns.push_back(vector_of(text.substr(at, end - at)));
    at = std::min(end + 1, text.size());
  }
  Eigen::MatrixXd samples(columns.empty() ? 0 : columns[0].size(), modes);
  for (Eigen::Index i = 0; i < modes; ++i) {
    if (columns[i].size() != samples.rows()) throw std::runtime_error("shapes of different length");
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
    row.line = std::atoi(cells[1].c_str()) - 1;
    row.line_of = cells[2];
    row.at = std::strtod(cells[3].c_str(), nullptr);
    row.rule = cells[4];
    row.how = cells[5];
    row.reason = cells[6];
    row.mass = std::strtod(cells[7].c_str(), nullptr);
    row.volume = 1e-3 * std::strtod(cells[8].c_str(), nullptr);
    row.modes.frequency = vector_of(cells[9]);
    row.modes.loss_factor = vector_of(cells[10]);
    if (row.modes.loss_factor.size() != row.modes.frequency.size())
      throw std::runtime_error(fmt::format("line {}: not as many loss factors as frequencies", i + 1));
    row.modes.samples = shapes_of(cells[11], row.modes.frequency.size());
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
