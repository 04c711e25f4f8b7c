// SPDX-License-Identifier: MIT
// Three-dimensional elasticity of a thick plate 10 x 10 x 1 m, E = 200 GPa, nu = 0.3, 8000 kg/m3.
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

const Material steel = isotropic(200e9, 0.3, 8000);

/// Lowest root of the antisymmetric Rayleigh-Lamb equation: the bending wave of wavenumber k in a plate of thickness h,
/// exact in three-dimensional elasticity, and with k^2 = (m pi/a)^2 + (n pi/b)^2 exact for the hard simply supported
/// plate (Navier). With P^2 = k^2 - (omega/c_L)^2, Q^2 = k^2 - (omega/c_T)^2:
/// 4 k^2 P Q tanh(Q h/2) = (Q^2 + k^2)^2 tanh(P h/2).
double bending_omega(double k, double h, double e, double nu, double rho) {
  const double g = e / (2 * (1 + nu)), cl2 = (e * (1 - nu) / ((1 + nu) * (1 - 2 * nu))) / rho, ct2 = g / rho;
  const auto f = [&](double omega) {
    const double p = std::sqrt(k * k - omega * omega / cl2), q = std::sqrt(k * k - omega * omega / ct2);
    return 4 * k * k * p * q * std::tanh(q * h / 2) - std::pow(q * q + k * k, 2) * std::tanh(p * h / 2);
  };
  // omega = 0 is a root without meaning; Kirchhoff's value is an upper bound.
  double high = std::min(std::sqrt(ct2) * k * (1 - 1e-12), k * k * std::sqrt(e * h * h / (12 * (1 - nu * nu) * rho)));
  double low = 0.2 * high;
  for (int i = 0; i < 200; ++i) {
    const double middle = (low + high) / 2;
    (f(middle) * f(high) <= 0 ? low : high) = middle;
  }
  return (low + high) / 2;
}

TEST(ThickPlates, ExactSolutionAgreesWithTheRecordedOne) {
  // Independently recomputed: 45.971 and 109.857 Hz.
  const double a = 10;
  EXPECT_NEAR(bending_omega(M_PI / a * std::sqrt(2.0), 1, 200e9, 0.3, 8000) / (2 * M_PI), 45.971, 1e-3);
  EXPECT_NEAR(bending_omega(M_PI / a * std::sqrt(5.0), 1, 200e9, 0.3, 8000) / (2 * M_PI), 109.857, 1e-3);
}

// Hard simple support: no displacement along the normal and along the edge on the side faces. Every mode below 262 Hz:
// bending (m, n), exact above, and in-plane shear at sqrt(G/rho) / (2 a) sqrt(m^2 + n^2), exact. In the dimensionless
// omega h sqrt(rho/G) the bending ones are 0.0932 0.2226 0.3421 0.4171 0.5239 of S. Srinivas, C.V. Joga Rao, A.K. Rao,
// J. Sound Vib. 12, 187-199, 1970 (from memory, and independently recomputed).
TEST(ThickPlates, HardSupportMeetsExactElasticity) {
  const double a = 10, h = 1, shear = std::sqrt(200e9 / 2.6 / 8000);
  std::vector<double> exact;
  for (const auto &[m, n] : {std::pair{1, 1}, {1, 2}, {2, 1}, {2, 2}, {1, 3}, {3, 1}, {2, 3}, {3, 2}})
    exact.push_back(bending_omega(M_PI / a * std::hypot(m, n), h, 200e9, 0.3, 8000));
  const std::vector<double> published{0.09315, 0.22260, 0.22260, 0.34207, 0.41714, 0.41714, 0.52391, 0.52391};
  for (std::size_t i = 0; i < exact.size(); ++i) EXPECT_NEAR(exact[i] * h / shear, published[i], 1e-5);
  for (double root : {1.0, 1.0, std::sqrt(2.0)}) exact.push_back(M_PI * shear / a * root);
  std::sort(exact.begin(), exact.end());
  const Solved r = solve_to(held(free_plate(a, a, h, steel), all_sides, EdgeKind::simple_hard), 2 * M_PI * 262, 1, 4);
  expect_modes(r.omegas, exact, 5e-4);
  EXPECT_EQ(r.omegas.size(), exact.size());
  EXPECT_EQ(r.spectrum.rigid, 0);
  // The two shear modes lie below the (2,2) bending mode.
  EXPECT_NEAR(r.hertz(3), 155.04, 0.05);
  EXPECT_NEAR(r.hertz(4), 155.04, 0.05);
}

// Soft support holds only the normal displacement on the side faces; three in-plane rigid motions stay. Independently
// recomputed upper bounds (three-dimensional Ritz, still falling about 0.1 %).
TEST(ThickPlates, SoftSupport) {
  const Solved r = solve_to(held(free_plate(10, 10, 1, steel), all_sides, EdgeKind::simple_soft), 2 * M_PI * 210, 2, 4);
  EXPECT_EQ(r.spectrum.rigid, 3);
  const std::vector<double> bounds{44.19, 107.37, 107.37, 163.2, 193.66, 203.4, 203.7, 206.8};
  ASSERT_GE(r.omegas.size(), bounds.size());
  for (std::size_t i = 0; i < bounds.size(); ++i) {
    EXPECT_LT(r.hertz(i), bounds[i] * 1.001) << i;
    EXPECT_GT(r.hertz(i), bounds[i] * 0.99) << i;
    if (std::getenv("STILLBOX_TELL")) std::printf("    %.4f of %.4f\n", r.hertz(i), bounds[i]);
  }
}

}  // namespace
}  // namespace stillbox
