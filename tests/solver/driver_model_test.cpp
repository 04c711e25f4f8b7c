// SPDX-License-Identifier: MIT
// A driver on a closed box against the textbook: resonance, Q, peak and width of the impedance curve.
#include "solver/driver_model.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/solver/drivers.h"

namespace stillbox {
namespace {

// Root of a rising or falling function by bisection.
template <typename Function>
double root(Function f, double low, double high) {
  const bool rises = f(high) > f(low);
  for (int step = 0; step < 100; ++step) {
    const double middle = (low + high) / 2;
    ((f(middle) > 0) == rises ? high : low) = middle;
  }
  return (low + high) / 2;
}

// fs = 1 / (2 pi sqrt(M C)), Qes = 2 pi fs M Re / Bl^2, Vas = rho c^2 S^2 C (Small, J. Audio Eng. Soc. 20, 1972; from
// memory); figures recomputed by hand.
TEST(DriverModel, FreeAir) {
  const SmallSignal s = woofer();
  EXPECT_NEAR(driver_resonance(s), 40.79, 0.01);
  EXPECT_NEAR(s.electrical_q, 0.4086, 1e-4);
  EXPECT_NEAR(driver_total_q(s), 0.3746, 1e-4);
  EXPECT_NEAR(1e3 * equivalent_air_volume(s, {1.204, 343.2}), 19.01, 0.01);
}

// Closed box: fc = fs sqrt(1 + Vas/V), Qtc likewise; impedance at fc is Re (1 + Qms/Qes) and real; the frequencies f1
// and f2 on both sides where |Z| = Re sqrt(r0), r0 = peak over Re, have f1 f2 = fc^2 and give Qmc = fc sqrt(r0) / (f2 -
// f1) (Thiele's and Small's way to measure; from memory). Inductance 0.
TEST(DriverModel, ClosedBoxImpedance) {
  SmallSignal s = woofer();
  s.coil_inductance = 0;
  const OutsideAir air{1.204, 343.2};
  const double volume = 0.012;
  const ClosedBox box = closed_box(s, air, volume);
  EXPECT_NEAR(box.frequency / driver_resonance(s), std::sqrt(1 + 19.01 / 12), 1e-4);
  EXPECT_NEAR(box.total_q / driver_total_q(s), box.frequency / driver_resonance(s), 1e-12);
  const auto magnitude = [&](double f) { return std::abs(closed_box_impedance(s, air, volume, f)); };
  const std::complex<double> peak = closed_box_impedance(s, air, volume, box.frequency);
  const double r0 = 1 + s.mechanical_q / s.electrical_q;
  EXPECT_NEAR(peak.real() / (s.coil_resistance * r0), 1, 1e-9);
  EXPECT_NEAR(peak.imag(), 0, 1e-9 * peak.real());
  const double level = s.coil_resistance * std::sqrt(r0);
  const double f1 = root([&](double f) { return magnitude(f) - level; }, 5, box.frequency);
  const double f2 = root([&](double f) { return magnitude(f) - level; }, box.frequency, 500);
  EXPECT_NEAR(std::sqrt(f1 * f2) / box.frequency, 1, 1e-9);
  EXPECT_NEAR(box.frequency * std::sqrt(r0) / (f2 - f1) / box.mechanical_q, 1, 1e-9);
}

TEST(DriverModel, CoilAlone) {
  const SmallSignal s = woofer();
  EXPECT_NEAR(std::abs(coil_current(s, 1000, 0)), 2.83 / std::hypot(5.7, 2 * M_PI * 1000 * 0.45e-3), 1e-12);
  EXPECT_NEAR(std::abs(blocked_force(s, 1e-6)), 7.2 * 2.83 / 5.7, 1e-9);
}

}  // namespace
}  // namespace stillbox
