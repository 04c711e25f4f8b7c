// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <cmath>

#include "solver/gauss_legendre.h"
#include "solver/monopole_sound.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;

// Dry air at 20 degrees C: 343.2 m/s and 1.204 kg/m3 (from memory; independently recomputed from the ideal gas).
TEST(OutsideMonopole, AirAtRoomTemperature) {
  const OutsideAir air = outside_air(20);
  EXPECT_NEAR(air.speed, 343.2, 0.1);
  EXPECT_NEAR(air.density, 1.204, 0.002);
}

// 1 litre per second at 100 Hz, 1 m off: w rho Q / (4 pi r) = 0.0602 Pa, 66.6 dB (independently recomputed); a quarter
// period ahead of the flow less the delay k r.
TEST(OutsideMonopole, OneLitrePerSecond) {
  const OutsideAir air{1.204, 343.2};
  const std::complex<double> p = monopole_pressure(air, 100, 1e-3, 1);
  EXPECT_NEAR(std::abs(p), 2 * pi * 100 * 1.204e-3 / (4 * pi), 1e-12);
  EXPECT_NEAR(std::arg(p), pi / 2 - 2 * pi * 100 / 343.2, 1e-12);
  // Intensity p^2 / (2 rho c) over the sphere is the power.
  EXPECT_NEAR(std::norm(p) / (2 * 1.204 * 343.2) * 4 * pi, monopole_power(air, 100, 1e-3), 1e-12);
}

TEST(OutsideMonopole, GaussRuleIntegratesPolynomials) {
  for (int n : {1, 2, 5, 20, 64}) {
    const GaussRule rule = gauss_legendre(n);
    for (int degree = 0; degree < 2 * n; ++degree) {
      const double sum = rule.weight.dot(rule.point.unaryExpr([&](double x) { return std::pow(x, degree); }));
      EXPECT_NEAR(sum, degree % 2 ? 0 : 2.0 / (degree + 1), 1e-13) << n << " " << degree;
    }
  }
}

}  // namespace
}  // namespace stillbox
