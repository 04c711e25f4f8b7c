// SPDX-License-Identifier: MIT
#include "postprocess/frequency_plot.h"

#include <fmt/format.h>

#include <array>
#include <cmath>

#include "postprocess/palette.h"

namespace stillbox {
namespace {

// 1-2-5 marks as gnuplot's list of tics.
std::string frequency_tics(double low, double high) {
  std::string out;
  for (int decade = 0; decade <= 5; ++decade)
    for (const int digit : {1, 2, 3, 4, 5, 6, 7, 8, 9}) {
      const double f = digit * std::pow(10, decade);
      if (f < low * 0.999 || f > high * 1.001) continue;
      const bool named = digit == 1 || digit == 2 || digit == 5;
      out += fmt::format("{}'{}' {:.0f}{}", out.empty() ? "" : ", ", named ? fmt::format("{:.0f}", f) : "", f,
                         named ? "" : " 1");
    }
  return "(" + out + ")";
}

}  // namespace

std::string line_style(std::size_t number) {
  constexpr std::array<std::array<double, 3>, 4> looks{{{15, 0, 0}, {45, 48, 276}, {62, 60, 60}, {70, 25, 276}}};
  constexpr std::array<int, 4> dashes{1, 2, 4, 5};
  const auto &[lightness, chroma, hue] = looks[number % looks.size()];
  return fmt::format("lw 1.6 dt {} lc rgb '{}'", dashes[(number + number / looks.size()) % dashes.size()],
                     hex(colour_of(lightness, chroma, hue)));
}

std::string frequency_axis(double low, double high) {
  return fmt::format("set logscale x\nset xrange [{:.6g}:{:.6g}]\nset xtics {}\n", low, high,
                     frequency_tics(low, high));
}

}  // namespace stillbox
