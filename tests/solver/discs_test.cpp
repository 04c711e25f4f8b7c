// SPDX-License-Identifier: MIT
// Thin circular plates: lambda = omega R^2 sqrt(rho h / D), exact roots of Bessel functions, independently recomputed.
// Leissa, NASA SP-160, 1969, Ch. 2 (from memory) prints the clamped ones.
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

constexpr double thin = 0.01;  // h / R: shear and rotary inertia cost 0.1 % at lambda = 51

TEST(Discs, Clamped) {
  // Clamped all round, the frequencies do not depend on Poisson's ratio; zero avoids the boundary layer of the solid.
  Structure disc = free_disc(1, thin, unit_plate_material(thin, 0));
  disc.edge_supports = {{0, -1, EdgeKind::clamped}};
  const Solved r = solve_to(disc, 56, 1.2, 4);
  // n = 0, 1 (twice), 2 (twice), 0 with one nodal circle, 3 (twice)
  expect_modes(r.omegas, {10.2158, 21.2604, 21.2604, 34.8770, 34.8770, 39.7711, 51.0300, 51.0300}, 5e-3);
  EXPECT_EQ(r.omegas.size(), 8u);
}

TEST(Discs, Free) {
  const Solved r = solve_to(free_disc(1, thin, unit_plate_material(thin, 0.3)), 21, 1.2, 4);
  // n = 2 (twice), 0 with one nodal circle, 3 (twice), 1 with one nodal circle (twice)
  expect_modes(r.omegas, {5.3583, 5.3583, 9.0031, 12.4390, 12.4390, 20.4746, 20.4746}, 3e-3);
  EXPECT_EQ(r.omegas.size(), 7u);
  EXPECT_EQ(r.spectrum.rigid, 6);
}

TEST(Discs, PairsStayPairs) {
  // Every mode of n >= 1 nodal diameters exists twice, turned by a quarter of its period.
  const Solved r = solve_to(free_disc(1, thin, unit_plate_material(thin, 0.3)), 16, 1.2, 4);
  ASSERT_GE(r.omegas.size(), 5u);
  EXPECT_NEAR(r.omegas[0] / r.omegas[1], 1, 1e-3);
  EXPECT_NEAR(r.omegas[3] / r.omegas[4], 1, 1e-3);
  EXPECT_GT(r.omegas[2] / r.omegas[1], 1.5);
}

}  // namespace
}  // namespace stillbox
