// SPDX-License-Identifier: MIT
// Laws that hold for any structure: similarity, moduli, density, and Ritz's: a larger space never raises a frequency.
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

Structure small_box(double scale, const Material &material) {
  Structure s = cabinet(0.2 * scale, 0.25 * scale, 0.3 * scale, 0.018 * scale, Corner::butt, material);
  add_shelf(s, 0.13 * scale, 0.015 * scale, 0.04 * scale);
  return s;
}

void expect_ratio(const Solved &changed, const Solved &original, double ratio) {
  ASSERT_GE(original.omegas.size(), 4u);
  ASSERT_EQ(changed.omegas.size(), original.omegas.size());
  for (std::size_t i = 0; i < original.omegas.size(); ++i)
    EXPECT_NEAR(changed.omegas[i] / original.omegas[i] / ratio, 1, 1e-7) << i;
}

// omega ~ 1 / L for bodies of one shape and material; the limit scales along, so the mesh is similar too.
TEST(Scaling, FrequencyFallsWithSize) {
  const Material m = isotropic(3.5e9, 0.25, 750);
  const Structure one = small_box(1, m), large = small_box(2.5, m);
  expect_ratio(solve(large, to(1400 / 2.5, 2)), solve(one, to(1400, 2)), 1 / 2.5);
}

// omega ~ sqrt(E / rho) at a given Poisson's ratio.
TEST(Scaling, FrequencyGrowsWithTheRootOfModulusOverDensity) {
  const Structure one = small_box(1, isotropic(3.5e9, 0.25, 750));
  const Structure other = small_box(1, isotropic(3.5e9 * 9, 0.25, 750 * 2.25));
  expect_ratio(solve(other, to(2800, 2)), solve(one, to(1400, 2)), 2);
}

// Of one material omega ~ sqrt(E / rho): the band is exp(+-sqrt((tE / 2)^2 + (trho / 2)^2)), whatever the shape; all
// its modes have its loss factor eta, Q = 1 / eta and T60 = 3 ln 10 / (pi eta f) (amplitude exp(-pi eta f t) falls by
// 60 dB).
TEST(Scaling, BandLossAndRingingOfOneMaterialAreClosedForms) {
  Material m = isotropic(3.5e9, 0.25, 750);
  m.modulus_tolerance = 0.12;
  m.density_tolerance = 0.05;
  m.loss_factor = 0.025;
  const ModalResult r = solve_modes(small_box(1, m), to(1400, 2));
  ASSERT_GE(r.modes.size(), 4u);
  const double band = std::hypot(0.5 * 0.12, 0.5 * 0.05);
  for (const Mode &mode : r.modes) {
    EXPECT_NEAR(std::log(mode.band_high / mode.frequency), band, 1e-6);
    EXPECT_NEAR(std::log(mode.band_low / mode.frequency), -band, 1e-6);
    EXPECT_NEAR(mode.loss_factor, 0.025, 1e-8);
    EXPECT_NEAR(mode.quality, 40, 1e-5);
    EXPECT_NEAR(mode.decay_time * M_PI * 0.025 * mode.frequency / std::log(1000.0), 1, 1e-7);
  }
}

/// Frequencies on a given mesh with elements of a given degree: spaces of rising degree contain each other.
std::vector<double> on_mesh(const Structure &s, const HexMesh &mesh, int degree, double up_to) {
  Model m;
  m.structure = &s;
  m.mesh = mesh;
  m.discretisation = discretise(mesh, degree);
  m.unknowns = number_unknowns(s, m.discretisation);
  m.laws = make_laws(s);
  m.system = assemble(s, m.mesh, m.discretisation, m.unknowns, m.laws);
  SolveReport report;
  const Spectrum spectrum = solve_spectrum(m, to(up_to, 2), report);
  std::vector<double> omegas;
  for (double value : spectrum.elastic.values) omegas.push_back(std::sqrt(value));
  return omegas;
}

void expect_lower(const std::vector<double> &finer, const std::vector<double> &coarser, std::size_t modes) {
  ASSERT_GE(coarser.size(), modes);
  ASSERT_GE(finer.size(), modes);
  double largest = 0;
  for (std::size_t i = 0; i < modes; ++i) {
    EXPECT_LE(finer[i], coarser[i] * (1 + 1e-9)) << i;
    largest = std::max(largest, coarser[i] / finer[i] - 1);
  }
  EXPECT_GT(largest, 1e-5);  // it did change
}

TEST(Scaling, HigherDegreeLowersEveryFrequencyOfACabinet) {
  const Structure s = cabinet(0.2, 0.25, 0.3, 0.018, Corner::butt, isotropic(3.5e9, 0.25, 750));
  MeshOptions options;
  options.up_to = 500;
  options.relief = 0;
  const HexMesh mesh = make_hex_mesh(s, options);
  const auto second = on_mesh(s, mesh, 2, 2000), third = on_mesh(s, mesh, 3, 1600), fourth = on_mesh(s, mesh, 4, 1600);
  expect_lower(third, second, 5);
  expect_lower(fourth, third, 5);
  // And converges: the second step is smaller than the first.
  for (int i = 0; i < 5; ++i) EXPECT_LT(third[i] - fourth[i], second[i] - third[i] + 1e-6 * third[i]) << i;
}

// Halving every cell contains the coarser space; the plate's limit is low enough that fineness alone sets the cells.
TEST(Scaling, HalvedCellsLowerEveryFrequencyOfAPlate) {
  const Structure s = free_plate(0.3, 0.3, 0.02, isotropic(3.5e9, 0.25, 750));
  std::vector<std::vector<double>> runs;
  for (double fineness : {2.0, 4.0, 8.0}) {
    MeshOptions options;
    options.up_to = 20;
    options.fineness = fineness;
    const HexMesh mesh = make_hex_mesh(s, options);
    ASSERT_EQ(mesh.cells.size(), std::size_t(fineness * fineness));
    runs.push_back(on_mesh(s, mesh, 2, 1600));
  }
  expect_lower(runs[1], runs[0], 4);
  expect_lower(runs[2], runs[1], 4);
}

}  // namespace
}  // namespace stillbox
