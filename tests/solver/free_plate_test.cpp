// SPDX-License-Identifier: MIT
// Free bars and plates by their own small series: against the standard's formula, published values and the solid
// solver.
#include "solver/free_plate.h"

#include <random>

#include "solver/free_bar.h"
#include "solver/free_plate_fit.h"
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

// Independently recomputed: L 300, b 50, t 18 mm, 750 kg/m3, E 3.5 GPa, nu 0.25 give 438.597 Hz by the formula of ASTM
// E1876 (from memory) and 438.833, 1131.20 (edgewise), 1184.71 (second) and 1359.69 Hz (torsion) by a three-dimensional
// Ritz series.
const FreeBar standard_bar{0.300, 0.050, 0.018, 750 * 0.300 * 0.050 * 0.018};

TEST(FreeBar, FormulaOfTheStandardBothWays) {
  EXPECT_NEAR(e1876_frequency(standard_bar, 3.5e9, 0.25), 438.597, 0.001);
  EXPECT_NEAR(e1876_youngs_modulus(standard_bar, 438.597, 0.25) / 3.5e9, 1, 5e-6);
  EXPECT_NEAR(e1876_youngs_modulus(standard_bar, 438.833, 0.25) / 3.5e9, 1, 0.002);
  const FreeBar on_edge{0.300, 0.018, 0.050, standard_bar.mass};
  EXPECT_NEAR(e1876_youngs_modulus(on_edge, 1131.20, 0.25) / 3.5e9, 1, 0.005);
  EXPECT_NEAR(e1876_shear_modulus(standard_bar, 1359.69) / (3.5e9 / 2.5), 1, 0.005);
}

TEST(FreeBar, BeamAgreesWithSolidAndFormula) {
  const std::vector<double> f = bar_frequencies(standard_bar, 3.5e9, 3.5e9 / 2.5, 2);
  EXPECT_NEAR(f[0] / 438.833, 1, 0.001);
  EXPECT_NEAR(f[1] / 1184.71, 1, 0.003);
  EXPECT_NEAR(bar_youngs_modulus(standard_bar, f[1], 2, 1 / 2.5) / 3.5e9, 1, 1e-9);
  // Slender: exact roots of cos cosh = 1.
  const FreeBar thin{1, 0.02, 0.001, 0.02 * 0.001 * 7800};
  const std::vector<double> g = bar_frequencies(thin, 200e9, 80e9, 3);
  const double roots[] = {4.730041, 7.853205, 10.995608};
  for (int i = 0; i < 3; ++i)
    EXPECT_NEAR(g[i] / (roots[i] * roots[i] * 0.001 / std::sqrt(12.0) * std::sqrt(200e9 / 7800) / (2 * M_PI)), 1, 1e-4);
  EXPECT_THROW(bar_frequencies(thin, 0, 1, 1), std::domain_error);
}

// A strip of fibre board, soft in shear through its thickness, solved as a solid: the beam with that shear returns E,
// the standard's formula, made for isotropic bars, 4-6 % less.
TEST(FreeBar, SoftShearIsTakenIntoAccount) {
  Material board;
  board.density = 750;
  board.law = orthotropic_law({3.5e9, 3.5e9, 0.15e9, 0.25, 0.25, 0.25, 1.4e9, 0.15e9, 0.15e9});
  const Solved solid = solve_to(free_plate(0.4, 0.05, 0.018, board), 2 * M_PI * 300, 4, 4);
  const FreeBar bar{0.4, 0.05, 0.018, 750 * 0.4 * 0.05 * 0.018};
  EXPECT_NEAR(bar_youngs_modulus(bar, solid.hertz(0), 1, 0.15 / 3.5) / 3.5e9, 1, 0.005);
  const double formula = e1876_youngs_modulus(bar, solid.hertz(0), 0.25) / 3.5e9;
  EXPECT_LT(formula, 0.96);
  EXPECT_GT(formula, 0.94);
}

// Square free thin plate, nu 0.3, omega a^2 sqrt(rho h / D): independently recomputed (Legendre Ritz 14 x 14); Leissa
// 1973 (from memory) has 13.489 19.789 24.432 35.024 35.024 61.526, upper bounds of a shorter series.
TEST(FreePlate, SquareIsotropic) {
  const double h = 1e-3, nu = 0.3, e = 12 * (1 - nu * nu) / (h * h * h);
  const FreePlate plate{1, 1, h, 1};
  const double g = e / (2 * (1 + nu));
  const std::vector<PlateMode> modes = plate_modes(plate, {e, e, g, nu, g, g}, 10, 14);
  std::vector<double> found;
  for (const PlateMode &mode : modes) found.push_back(2 * M_PI * mode.frequency);
  expect_modes(found, {13.4682, 19.5961, 24.2702, 34.8009, 34.8009, 61.0932, 61.0932, 63.686, 69.265}, 2e-4);
  EXPECT_EQ(modes[0].nodes_x, 1);
  EXPECT_EQ(modes[0].nodes_y, 1);
}

const FreePlate plywood_plate{0.40, 0.32, 0.006, 680 * 0.40 * 0.32 * 0.006};
const PlateModuli plywood{10.7e9, 6.8e9, 0.62e9, 0.05, 0.2e9, 0.17e9};

TEST(FreePlate, DegreeFourteenIsEnough) {
  const std::vector<PlateMode> fewer = plate_modes(plywood_plate, plywood, 8, 14);
  const std::vector<PlateMode> more = plate_modes(plywood_plate, plywood, 8, 20);
  for (std::size_t i = 0; i < 8; ++i) {
    EXPECT_NEAR(fewer[i].frequency / more[i].frequency, 1, 1e-3) << i;
    EXPECT_GE(fewer[i].frequency, more[i].frequency * (1 - 1e-9)) << "a longer series cannot be stiffer";
  }
}

TEST(FreePlate, DerivativesAgreeWithDifferences) {
  const std::vector<PlateMode> modes = plate_modes(plywood_plate, plywood, 6);
  double PlateModuli::*const members[] = {&PlateModuli::ex, &PlateModuli::ey, &PlateModuli::gxy, &PlateModuli::gxz,
                                          &PlateModuli::gyz};
  for (int k = 0; k < 5; ++k) {
    PlateModuli up = plywood, down = plywood;
    up.*members[k] *= 1.001;
    down.*members[k] *= 0.999;
    const auto high = plate_modes(plywood_plate, up, 6), low = plate_modes(plywood_plate, down, 6);
    for (std::size_t i = 0; i < 6; ++i)
      EXPECT_NEAR(modes[i].sensitivity[k], std::log(high[i].frequency / low[i].frequency) / std::log(1.001 / 0.999),
                  1e-5);
  }
  // All moduli together: every frequency goes with the root.
  for (const PlateMode &mode : modes) EXPECT_NEAR(mode.sensitivity.sum(), 0.5, 1e-9);
}

// One orthotropic plate both ways: this series and the solid solver.
TEST(FreePlate, AgreesWithTheSolidSolver) {
  Material board;
  board.density = 680;
  board.law = orthotropic_law({10.7e9, 6.8e9, 0.6e9, 0.05, 0.4, 0.4, 0.62e9, 0.2e9, 0.17e9});
  const std::vector<PlateMode> series = plate_modes(plywood_plate, plywood, 6, 18);
  const Solved solid = solve_to(free_plate(0.40, 0.32, 0.006, board), 2 * M_PI * 1.02 * series.back().frequency, 3, 5);
  std::vector<double> expected;
  for (const PlateMode &mode : series) expected.push_back(2 * M_PI * mode.frequency);
  expect_modes(solid.omegas, expected, 1e-3);
}

std::vector<PlateTone> tones_of(const std::vector<PlateMode> &modes, double noise, unsigned seed, bool labelled) {
  std::mt19937 engine(seed);
  std::vector<PlateTone> tones;
  for (const PlateMode &mode : modes) {
    PlateTone tone;
    // Sum of twelve, so that every library gives the same numbers.
    double normal = -6;
    for (int i = 0; i < 12; ++i) normal += double(engine()) / 4294967296.0;
    tone.frequency = mode.frequency * (1 + noise * normal);
    tone.sd = std::max(noise, 1e-4) * mode.frequency;
    if (labelled) {
      tone.nodes_x = mode.nodes_x;
      tone.nodes_y = mode.nodes_y;
    }
    tones.push_back(tone);
  }
  return tones;
}

TEST(FreePlateFit, ReturnsTheModuliPutIn) {
  const std::vector<PlateMode> modes = plate_modes(plywood_plate, plywood, 6);
  PlateFitOptions options;
  options.nu_xy = plywood.nu_xy;
  options.ratio_xz = plywood.gxz / plywood.ex;
  options.ratio_yz = plywood.gyz / plywood.ey;
  for (const bool labelled : {false, true}) {
    const PlateFit fit = fit_plate(plywood_plate, tones_of(modes, 0, 1, labelled), options);
    EXPECT_TRUE(fit.settled);
    EXPECT_NEAR(fit.moduli.ex / plywood.ex, 1, 1e-5) << labelled;
    EXPECT_NEAR(fit.moduli.ey / plywood.ey, 1, 1e-5) << labelled;
    EXPECT_NEAR(fit.moduli.gxy / plywood.gxy, 1, 1e-5) << labelled;
  }
}

// With 0.2 % noise on each tone the errors must be as large as the fit says: mean square near 1 over 20 seeds and three
// moduli (60 values: standard deviation 0.18), and each within 4.
TEST(FreePlateFit, NoiseGivesTheSpreadItSays) {
  PlateFitOptions options;
  options.nu_xy = plywood.nu_xy;
  options.ratio_xz = plywood.gxz / plywood.ex;
  options.ratio_yz = plywood.gyz / plywood.ey;
  options.degree = 8;
  const std::vector<PlateMode> modes = plate_modes(plywood_plate, plywood, 6, 8);
  double squares = 0;
  for (unsigned seed = 1; seed <= 20; ++seed) {
    const PlateFit fit = fit_plate(plywood_plate, tones_of(modes, 0.002, seed, true), options);
    const double off[] = {std::log(fit.moduli.ex / plywood.ex), std::log(fit.moduli.ey / plywood.ey),
                          std::log(fit.moduli.gxy / plywood.gxy)};
    for (int k = 0; k < 3; ++k) {
      const double z = off[k] / std::sqrt(fit.covariance(k, k));
      EXPECT_LT(std::abs(z), 4) << seed;
      squares += z * z / 60;
    }
  }
  EXPECT_GT(squares, 0.4);
  EXPECT_LT(squares, 1.6);
}

TEST(FreePlateFit, TellsWhatTheTonesDoNot) {
  // Bending along, the twist, and both together: nothing but Poisson's ratio tells of ey.
  PlateFitOptions options;
  options.nu_xy = plywood.nu_xy;
  const std::vector<PlateMode> modes = plate_modes(plywood_plate, plywood, 12);
  std::vector<PlateTone> tones;
  for (const PlateMode &mode : modes)
    if ((mode.nodes_x == 2 && mode.nodes_y == 0) || (mode.nodes_x == 1 && mode.nodes_y == 1) ||
        (mode.nodes_x == 2 && mode.nodes_y == 1))
      tones.push_back({mode.frequency, 0.002 * mode.frequency, mode.nodes_x, mode.nodes_y});
  ASSERT_EQ(tones.size(), 3u);
  const PlateFit fit = fit_plate(plywood_plate, tones, options);
  EXPECT_LT(std::sqrt(fit.covariance(0, 0)), 0.02);
  EXPECT_GT(std::sqrt(fit.covariance(1, 1)), 0.2);
}

TEST(FreePlateFit, RefusesWhatCannotBe) {
  PlateFitOptions options;
  std::vector<PlateTone> tones{{100, 0.1, 2, 0}, {120, 0.1, 1, 1}};
  EXPECT_THROW(fit_plate(plywood_plate, tones, options), std::domain_error);
  tones.push_back({150, 0.1, 1, 1});
  EXPECT_THROW(fit_plate(plywood_plate, tones, options), std::domain_error);
  tones.back() = {150, 0, 0, 2};
  EXPECT_THROW(fit_plate(plywood_plate, tones, options), std::domain_error);
  tones.back() = {150, 0.1, 1, 0};
  EXPECT_THROW(fit_plate(plywood_plate, tones, options), std::domain_error);
}

}  // namespace
}  // namespace stillbox
