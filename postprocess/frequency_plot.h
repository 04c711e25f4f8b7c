// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <string>

namespace stillbox {

/// What pictures of levels over frequency have in common, as gnuplot's words.

inline const std::string plot_ink = "#222222";

/// Lines that differ in lightness and dashes as well as in hue, and in hue from blue to yellow only.
std::string line_style(std::size_t number);

/// A logarithmic axis from low to high (Hz) with 1-2-5 marks.
std::string frequency_axis(double low, double high);

}  // namespace stillbox
