// SPDX-License-Identifier: MIT
#include "tests/benchmark/power_fit.h"

#include <cassert>
#include <cmath>
#include <limits>

namespace stillbox {

PowerFit fit_power(const std::vector<double> &x, const std::vector<double> &y) {
  assert(x.size() == y.size());
  const double none = std::numeric_limits<double>::quiet_NaN();
  std::vector<double> u, v;
  for (std::size_t i = 0; i < x.size(); ++i) {
    if (!(x[i] > 0 && y[i] > 0) || !std::isfinite(x[i]) || !std::isfinite(y[i])) continue;
    u.push_back(std::log(x[i]));
    v.push_back(std::log(y[i]));
  }
  PowerFit fit{int(u.size()), none, none, none};
  double mean_u = 0, mean_v = 0, uu = 0, uv = 0, rest = 0;
  for (std::size_t i = 0; i < u.size(); ++i) {
    mean_u += u[i] / double(u.size());
    mean_v += v[i] / double(u.size());
  }
  for (std::size_t i = 0; i < u.size(); ++i) {
    uu += (u[i] - mean_u) * (u[i] - mean_u);
    uv += (u[i] - mean_u) * (v[i] - mean_v);
  }
  if (!(uu > 0)) return fit;
  fit.exponent = uv / uu;
  fit.factor = std::exp(mean_v - fit.exponent * mean_u);
  for (std::size_t i = 0; i < u.size(); ++i) rest += std::pow(v[i] - mean_v - fit.exponent * (u[i] - mean_u), 2);
  if (fit.points > 2) fit.exponent_error = std::sqrt(rest / (fit.points - 2) / uu);
  return fit;
}

}  // namespace stillbox
