// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

namespace stillbox {

/// y = factor x^exponent by least squares of the logarithms.
struct PowerFit {
  int points = 0;
  double exponent = 0, factor = 0;  ///< NaN without two points that differ in x
  double exponent_error = 0;        ///< standard error of the exponent; NaN without three points
};

/// Points with a figure that is not above 0 or not finite are left out.
PowerFit fit_power(const std::vector<double> &x, const std::vector<double> &y);

}  // namespace stillbox
