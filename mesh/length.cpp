// SPDX-License-Identifier: MIT
#include "mesh/length.h"

#include <charconv>
#include <cmath>
#include <cstdio>

namespace stillbox {
namespace {

void skip_space(std::string_view &text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
}

std::optional<double> take_number(std::string_view &text) {
  if (text.empty() || text.front() < '0' || text.front() > '9') return std::nullopt;  // no sign, no "inf", no ".5"
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value, std::chars_format::fixed);
  if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
  text.remove_prefix(end - text.data());
  return value;
}

/// What follows a '/': the denominator, or nothing when it is missing or zero.
std::optional<double> take_denominator(std::string_view &text) {
  skip_space(text);
  const auto value = take_number(text);
  if (!value || *value == 0) return std::nullopt;
  return value;
}

}  // namespace

std::optional<double> parse_length(std::string_view text) {
  skip_space(text);
  double sign = 1;
  if (!text.empty() && (text.front() == '-' || text.front() == '+')) {
    sign = text.front() == '-' ? -1 : 1;
    text.remove_prefix(1);
  }
  auto number = take_number(text);
  if (!number) return std::nullopt;
  skip_space(text);
  if (!text.empty() && text.front() == '/') {  // 3/4
    text.remove_prefix(1);
    const auto below = take_denominator(text);
    if (!below) return std::nullopt;
    number = *number / *below;
  } else if (!text.empty() && text.front() >= '0' && text.front() <= '9') {  // 1 1/2
    const auto above = take_number(text);
    skip_space(text);
    if (!above || text.empty() || text.front() != '/') return std::nullopt;
    text.remove_prefix(1);
    const auto below = take_denominator(text);
    if (!below) return std::nullopt;
    number = *number + *above / *below;
  }
  skip_space(text);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  double unit = 0;
  if (text == "mm") unit = 1e-3;
  if (text == "cm") unit = 1e-2;
  if (text == "m") unit = 1;
  if (text == "in") unit = 25.4e-3;
  if (unit == 0) return std::nullopt;
  return sign * *number * unit;
}

std::string number_text(double value) {
  char buffer[40];
  std::snprintf(buffer, sizeof buffer, "%.6g", value == 0 ? 0.0 : value);
  return buffer;
}

std::string length_text(double metres) {
  const double rounded = std::round(metres * 1e6) / 1e3;  // to 1 um, so that 0.1 + 0.2 does not show
  return number_text(rounded) + " mm";
}

}  // namespace stillbox
