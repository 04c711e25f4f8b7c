// SPDX-License-Identifier: MIT
#include "postprocess/converge.h"

#include <cmath>
#include <limits>

#include "postprocess/pairing.h"

namespace stillbox {
namespace {

/// Meshes whose element sizes differ by less than this factor tell no order: their differences are chance.
constexpr double least_step = 1.1;

}  // namespace

std::optional<ObservedOrder> observed_order(const double (&h)[3], const double (&f)[3], double most) {
  constexpr double least = 0.2;
  if (!(h[0] > h[1] * (1 + 1e-9) && h[1] > h[2] * (1 + 1e-9))) return std::nullopt;
  const double first = f[0] - f[1], second = f[1] - f[2], lost = 1e-9 * std::abs(f[2]);
  if (!(first * second > 0) || std::abs(second) < lost) return std::nullopt;
  const auto excess = [&](double p) {
    return (std::pow(h[0], p) - std::pow(h[1], p)) / (std::pow(h[1], p) - std::pow(h[2], p)) - first / second;
  };
  double low = least, high = most;
  if (!(excess(low) <= 0 && excess(high) >= 0)) return std::nullopt;
  for (int i = 0; i < 100; ++i) {
    const double middle = (low + high) / 2;
    (excess(middle) < 0 ? low : high) = middle;
  }
  const double p = (low + high) / 2;
  return ObservedOrder{p, f[2] - second * std::pow(h[2], p) / (std::pow(h[1], p) - std::pow(h[2], p))};
}

Convergence convergence(const std::vector<ConvergeLevel> &levels, const std::vector<ModalResult> &results,
                        std::size_t most_modes) {
  Convergence c;
  c.levels = levels;
  const ModalResult &finest = results.back();
  c.case_name = finest.case_name;
  c.variant_name = finest.variant_name;
  c.by_degree = levels.front().degree != levels.back().degree;
  for (std::size_t l = 0; l < levels.size(); ++l) {
    c.levels[l].cells = results[l].report.cells;
    c.levels[l].unknowns = results[l].report.dofs;
    c.levels[l].size = std::sqrt(double(finest.report.cells) / results[l].report.cells);
  }
  std::vector<Pairing> pairings;
  for (const ModalResult &result : results) pairings.push_back(pair_modes(finest, result));
  for (std::size_t m = 0; m < finest.modes.size() && m < most_modes; ++m) {
    ConvergedMode mode;
    mode.label = finest.modes[m].label;
    mode.estimated = finest.modes[m].numerical_error;
    for (std::size_t l = 0; l + 1 < results.size(); ++l) {
      const int partner = pairings[l].partner[m];
      mode.frequency.push_back(partner >= 0 ? results[l].modes[std::size_t(partner)].frequency
                                            : std::numeric_limits<double>::quiet_NaN());
    }
    mode.frequency.push_back(finest.modes[m].frequency);
    const std::size_t n = levels.size();
    if (n >= 3 && !c.by_degree) {
      const double h[3] = {c.levels[n - 3].size, c.levels[n - 2].size, c.levels[n - 1].size};
      const double f[3] = {mode.frequency[n - 3], mode.frequency[n - 2], mode.frequency[n - 1]};
      if (h[0] > least_step * h[1] && h[1] > least_step * h[2])
        mode.observed = observed_order(h, f, 2.0 * levels.back().degree + 2);
    }
    c.modes.push_back(mode);
  }
  return c;
}

}  // namespace stillbox
