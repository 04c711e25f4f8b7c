// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <cmath>

#include "solver/gauss_legendre.h"
#include "solver/plate_radiation.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
const OutsideAir air{1.2, 340};

double frequency(double k) { return k * air.speed / (2 * pi); }

// C7: C. E. Wallace, J. Acoust. Soc. Am. 51, 946-952, 1972 (from memory; the leading term of odd-odd modes
// independently recomputed by the volume velocity). Series in k a: the tolerance is the next term's order.
TEST(OutsidePlate, WallaceAtLowFrequencies) {
  const double a = 0.4, b = 0.3, p5 = std::pow(pi, 5);
  for (double ka : {0.05, 0.1, 0.2}) {
    const double kb = ka * b / a, k2ab = ka * kb, f = frequency(ka / a);
    for (const auto &[m, n] : std::vector<std::pair<int, int>>{{1, 1}, {3, 1}, {1, 3}, {3, 3}, {5, 1}}) {
      const double wanted =
          32 * k2ab / (m * m * n * n * p5) *
          (1 - k2ab / 12 * ((1 - 8 / (m * m * pi * pi)) * a / b + (1 - 8 / (n * n * pi * pi)) * b / a));
      EXPECT_NEAR(simply_supported_efficiency(a, b, m, n, air, f) / wanted, 1, 0.05 * std::pow(ka, 4)) << m << n;
    }
    for (const auto &[m, n] : std::vector<std::pair<int, int>>{{1, 2}, {3, 2}, {1, 4}}) {
      const double wanted = 8 * ka * std::pow(kb, 3) / (3 * m * m * n * n * p5);
      EXPECT_NEAR(simply_supported_efficiency(a, b, m, n, air, f) / wanted, 1, 0.1 * ka * ka) << m << n;
    }
    for (const auto &[m, n] : std::vector<std::pair<int, int>>{{2, 1}, {2, 3}, {4, 1}}) {
      const double wanted = 8 * std::pow(ka, 3) * kb / (3 * m * m * n * n * p5);
      EXPECT_NEAR(simply_supported_efficiency(a, b, m, n, air, f) / wanted, 1, 0.1 * ka * ka) << m << n;
    }
    for (const auto &[m, n] : std::vector<std::pair<int, int>>{{2, 2}, {4, 2}, {2, 4}}) {
      const double wanted = 2 * std::pow(ka, 3) * std::pow(kb, 3) / (15 * m * m * n * n * p5);
      EXPECT_NEAR(simply_supported_efficiency(a, b, m, n, air, f) / wanted, 1, 0.1 * ka * ka) << m << n;
    }
  }
}

// Far above coincidence of its wave number, k_b = pi sqrt(1/a^2 + 1/b^2), an endless plate has 1 / sqrt(1 - (k_b/k)^2);
// a finite one tends to it with k a.
TEST(OutsidePlate, EfficiencyTendsToOne) {
  const double beyond30 = simply_supported_efficiency(0.4, 0.3, 1, 1, air, frequency(30)) - 1;
  const double beyond60 = simply_supported_efficiency(0.4, 0.3, 1, 1, air, frequency(60)) - 1;
  EXPECT_NEAR(beyond60, 0, 0.03);
  EXPECT_LT(std::abs(beyond60), 0.6 * std::abs(beyond30));
}

// C5: baffled circular piston, R = 1 - J1(2 ka) / (ka): 0.11990, 0.42328, 1.03302 at ka 0.5, 1, 2.
TEST(OutsidePlate, CircularPiston) {
  const double a = 0.1;
  const GaussRule radius = gauss_legendre(12);
  constexpr int around = 40;
  Eigen::Matrix<double, Eigen::Dynamic, 2> points(12 * around, 2);
  Eigen::VectorXd weights(12 * around);
  for (int i = 0; i < 12; ++i)
    for (int j = 0; j < around; ++j) {
      const double r = a * (1 + radius.point[i]) / 2, angle = 2 * pi * j / around;
      points.row(i * around + j) << r * std::cos(angle), r * std::sin(angle);
      weights[i * around + j] = radius.weight[i] * a / 2 * r * 2 * pi / around;
    }
  const Eigen::VectorXcd velocity = Eigen::VectorXcd::Constant(12 * around, {0.6, 0.8});
  for (const auto &[ka, wanted] : std::vector<std::pair<double, double>>{{0.5, 0.11990}, {1, 0.42328}, {2, 1.03302}}) {
    EXPECT_NEAR(baffled_efficiency(points, weights, velocity, air, frequency(ka / a)), wanted, 1e-5);
    EXPECT_NEAR(1 - std::cyl_bessel_j(1, 2 * ka) / ka, wanted, 1e-5);
  }
}

}  // namespace
}  // namespace stillbox
