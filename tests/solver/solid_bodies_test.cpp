// SPDX-License-Identifier: MIT
// Free solid bodies: a cube, and bars as the standards for measuring E use them.
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

// The cube of L = E = rho = 1, nu = 0.3. Independently recomputed (Ritz, N = 13) by the method of H.H. Demarest,
// J. Acoust. Soc. Am. 49, 768-775, 1971 (from memory). The triple at sqrt(G/rho) sqrt(2) pi / L is Lame's, exact.
TEST(SolidBodies, FreeCube) {
  const double lame = std::sqrt(1 / 2.6) * std::sqrt(2.0) * M_PI;
  const Solved r = solve_to(free_plate(1, 1, 1, isotropic(1, 0.3, 1)), 2.8, 1.2, 5);
  EXPECT_EQ(r.spectrum.rigid, 6);
  std::vector<double> expected{1.7713, 1.7713, 2.3852, 2.3852, 2.3852, 2.4257, 2.4257, 2.4257, lame, lame, lame};
  expect_modes(r.omegas, expected, 3e-4);
  EXPECT_EQ(r.omegas.size(), expected.size());
  // The next one is recorded as 2.8359, without its multiplicity.
  EXPECT_NEAR(solve_to(free_plate(1, 1, 1, isotropic(1, 0.3, 1)), 2.87, 1.2, 5).omegas.at(11) / 2.8359, 1, 3e-4);
  for (int i = 8; i < 11; ++i) EXPECT_NEAR(r.omegas.at(i) / lame, 1, 1e-5);
}

// Lame's frequency does not depend on Poisson's ratio at a given shear modulus.
TEST(SolidBodies, LameModeIgnoresPoissonsRatio) {
  for (double nu : {0.0, 0.2, 0.45}) {
    const double g = 1, lame = std::sqrt(2.0) * M_PI;
    const Solved r = solve_to(free_plate(1, 1, 1, isotropic(2 * g * (1 + nu), nu, 1)), lame * 1.02, 1.2, 5);
    const long found = std::count_if(r.omegas.begin(), r.omegas.end(),
                                     [&](double omega) { return std::abs(omega / lame - 1) < 1e-5; });
    EXPECT_GE(found, 3) << nu;
  }
}

// E of a free bar from its first bending frequency, ASTM E1876 and C1259 (coefficients from memory, the leading 0.9465
// seen): E = 0.9465 (m f^2 / b) (L/t)^3 T1.
double modulus_of_bar(double mass, double f, double length, double width, double thickness, double nu) {
  const double r = thickness / length, r2 = r * r, r4 = r2 * r2;
  const double t1 =
      1 + 6.585 * (1 + 0.0752 * nu + 0.8109 * nu * nu) * r2 - 0.868 * r4 -
      8.340 * (1 + 0.2023 * nu + 2.173 * nu * nu) * r4 / (1 + 6.338 * (1 + 0.1408 * nu + 1.536 * nu * nu) * r2);
  return 0.9465 * mass * f * f / width * std::pow(1 / r, 3) * t1;
}

TEST(SolidBodies, BarReturnsItsModulus) {
  const double length = 0.300, width = 0.050, thickness = 0.018, e = 3.5e9, nu = 0.25, rho = 750;
  const Solved r = solve_to(free_plate(length, width, thickness, isotropic(e, nu, rho)), 2 * M_PI * 1400, 4, 4);
  EXPECT_EQ(r.spectrum.rigid, 6);
  const double found = modulus_of_bar(rho * length * width * thickness, r.hertz(0), length, width, thickness, nu);
  EXPECT_NEAR(found / e, 1, 2e-3);
  // Independently recomputed with a three-dimensional Ritz series, Hz: two bending planes and torsion.
  std::vector<double> hertz;
  for (std::size_t i = 0; i < r.omegas.size(); ++i) hertz.push_back(r.hertz(i));
  expect_modes(hertz, {438.833, 1131.20, 1184.71, 1359.69}, 5e-4);
  if (std::getenv("STILLBOX_TELL")) std::printf("    E returned %.5f\n", found / e);
}

// Slender bars: omega = beta^2 sqrt(E I / rho A) / L^2, beta exact roots of cos cosh = 1 (free) and -1 (cantilever).
// A square section gives every mode twice. Shear and rotary inertia cost under 0.1 % at t / L = 0.005.
void expect_bar(const Structure &bar, const std::vector<double> &betas) {
  const double t = bar.boards[0].thickness();
  std::vector<double> expected;
  for (double beta : betas) expected.insert(expected.end(), 2, beta * beta * t / std::sqrt(12.0));
  const Solved r = solve_to(bar, expected.back() * 1.05, 4, 4);
  expect_modes(r.omegas, expected, 2e-3);
  EXPECT_EQ(r.omegas.size(), expected.size());
}

TEST(SolidBodies, SlenderBars) {
  const Structure bar = free_plate(1, 0.005, 0.005, isotropic(1, 0, 1));
  expect_bar(bar, {4.730041, 7.853205, 10.995608});
  expect_bar(held(bar, {u_low}, EdgeKind::clamped), {1.875104, 4.694091, 7.854757});
}

}  // namespace
}  // namespace stillbox
