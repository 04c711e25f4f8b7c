// SPDX-License-Identifier: MIT
#include "solver/gauss_legendre.h"

#include <cassert>
#include <cmath>

namespace stillbox {

GaussRule gauss_legendre(int n) {
  assert(n > 0);
  GaussRule rule{Eigen::VectorXd(n), Eigen::VectorXd(n)};
  for (int i = 0; i < n; ++i) {
    double z = std::cos(3.14159265358979323846 * (i + 0.75) / (n + 0.5)), slope = 1;
    for (int step = 0; step < 100; ++step) {
      double p = 1, before = 0;
      for (int m = 1; m <= n; ++m) {
        const double next = ((2 * m - 1) * z * p - (m - 1) * before) / m;
        before = p;
        p = next;
      }
      slope = n * (z * p - before) / (z * z - 1);
      const double change = p / slope;
      z -= change;
      if (std::abs(change) < 1e-15) break;
    }
    rule.point[i] = z;
    rule.weight[i] = 2 / ((1 - z * z) * slope * slope);
  }
  return rule;
}

}  // namespace stillbox
