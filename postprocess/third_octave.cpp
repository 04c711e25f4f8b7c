// SPDX-License-Identifier: MIT
#include "postprocess/third_octave.h"

#include <fmt/format.h>

#include <array>
#include <cassert>
#include <cmath>

namespace stillbox {

double third_octave_middle(int band) { return 1000 * std::pow(10, band / 10.0); }
double third_octave_low(int band) { return 1000 * std::pow(10, (2 * band - 1) / 20.0); }
double third_octave_high(int band) { return 1000 * std::pow(10, (2 * band + 1) / 20.0); }

int third_octave_of(double frequency) {
  assert(frequency > 0);
  int band = static_cast<int>(std::floor(10 * std::log10(frequency / 1000) + 0.5));
  // Rounding of the logarithm must not put an edge, as computed above, into the wrong band.
  if (frequency >= third_octave_high(band)) ++band;
  if (frequency < third_octave_low(band)) --band;
  return band;
}

std::string third_octave_name(int band) {
  constexpr std::array<double, 10> nominal{1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3, 8};
  const int step = ((band % 10) + 10) % 10;
  return fmt::format("{:.5g}", nominal[std::size_t(step)] * std::pow(10, 3 + (band - step) / 10));
}

}  // namespace stillbox
