// SPDX-License-Identifier: MIT
#include "solver/place_model.h"

#include <random>

#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

template <typename At>
PlaceModel row_of(At at, double low, double high, const SolveOptions &options) {
  const std::vector<double> nodes = place_nodes(low, high, 9);
  std::vector<Structure> structures;
  for (double p : nodes) structures.push_back(at(p));
  return make_place_model(structures, nodes, options);
}

Structure braced_box(double middle) {
  Structure s = cabinet(0.2, 0.16, 0.26, 0.012, Corner::butt, isotropic(3.5e9, 0.3, 750));
  s.materials[0].loss_factor = 0.02;
  add_shelf(s, middle - 0.006, 0.012);
  s.materials.push_back(s.materials[0]);
  s.materials[1].name = "lossy";
  s.materials[1].loss_factor = 0.06;
  s.boards.back().layers[0].material = 1;
  return s;
}

TEST(PlaceModel, AgreesWithFullSolutionsAtRandomPlaces) {
  const SolveOptions options = to(1500, 3, 0.5);
  const PlaceModel model = row_of(braced_box, 0.11, 0.15, options);
  EXPECT_LE(model.solutions, 4);
  EXPECT_LT(model.interpolation, 1e-4);  // bricks only: exact but for rounding
  std::mt19937 random(5);
  std::uniform_real_distribution<double> place(0.11, 0.15);
  for (int i = 0; i < 3; ++i) {
    const double p = place(random);
    const PlaceModes reduced = place_modes(model, p), full = place_modes_in_full(braced_box(p), options);
    ASSERT_EQ(reduced.frequency.size(), full.frequency.size()) << p;
    ASSERT_GT(full.frequency.size(), 0);
    for (int k = 0; k < full.frequency.size(); ++k) {
      // The bound is the aim of the reduced model, 0.5 %. The meshes differ, and over a longer row at this fineness by
      // more than that; finer ones are set against each other by tests/benchmark/place_check.cpp.
      EXPECT_NEAR(reduced.frequency[k] / full.frequency[k], 1, 5e-3) << p << " mode " << k + 1;
      // By the energy method in both, but there from the parts' matrices and here from one scaled by the loss factors.
      EXPECT_GT(full.loss_factor[k], 0.02);
      EXPECT_NEAR(reduced.loss_factor[k] / full.loss_factor[k], 1, 0.02) << p << " mode " << k + 1;
    }
  }
}

// Mirrored about half the height the box is itself: exact, no source needed.
TEST(PlaceModel, SymmetricBoxHasSymmetricMap) {
  const SolveOptions options = to(1500, 2, 0.5);
  const PlaceModel model = row_of(braced_box, 0.08, 0.18, options);
  for (double away : {0.01, 0.025, 0.045}) {
    const PlaceModes low = place_modes(model, 0.13 - away), high = place_modes(model, 0.13 + away);
    ASSERT_EQ(low.frequency.size(), high.frequency.size());
    for (int k = 0; k < low.frequency.size(); ++k) EXPECT_NEAR(low.frequency[k] / high.frequency[k], 1, 1e-3);
  }
}

constexpr double plate_a = 0.6, plate_b = 0.3, plate_h = 0.009;

// A simply supported plate with a thin, very stiff, massless rib across it at x: nearly an ideal line support.
Structure plate_with_line(double x) {
  Structure s =
      held(free_plate(plate_a, plate_b, plate_h, isotropic(3.5e9, 0.3, 750)), all_sides, EdgeKind::simple_hard);
  Material stiff = isotropic(2e12, 0.3, 1e-3);
  stiff.name = "stiff";
  s.materials.push_back(stiff);
  constexpr double thin = 1e-3, tall = 0.06;
  Board rib = make_rectangle("rib", {x - thin / 2, 0, plate_h}, Eigen::Vector3d::UnitY(), Eigen::Vector3d::UnitZ(),
                             plate_b, tall, thin, 1);
  s.boards.push_back(rib);
  return s;
}

// Mode (m, n) of a plate with hard simply supported edges after Mindlin (shear factor 5/6), closed form, from memory:
// the lower root of I M w^4 - (M (D k^2 + S) + I S k^2) w^2 + S D k^4 = 0 with k^2 = (m pi / a)^2 + (n pi / b)^2,
// S = 5/6 G h, I = rho h^3 / 12, M = rho h. N10 of thick_plates_test.cpp is this formula.
double mindlin_hertz(double a, double b, int m, int n) {
  const double E = 3.5e9, nu = 0.3, rho = 750, h = plate_h;
  const double D = E * h * h * h / 12 / (1 - nu * nu), S = 5. / 6 * E / 2 / (1 + nu) * h;
  const double k2 = std::pow(M_PI * m / a, 2) + std::pow(M_PI * n / b, 2), I = rho * h * h * h / 12, M = rho * h;
  const double sum = (D * k2 + S) / I + S * k2 / M, product = S * D * k2 * k2 / (I * M);
  return std::sqrt((sum - std::sqrt(sum * sum - 4 * product)) / 2) / (2 * M_PI);
}

TEST(PlaceModel, LineBraceHalvesASimplySupportedPlate) {
  SolveOptions options = to(420, 3, 0.75);
  const PlaceModel model = row_of(plate_with_line, 0.2, 0.4, options);
  const PlaceModes middle = place_modes(model, 0.3);
  ASSERT_GE(middle.frequency.size(), 1);
  // Antisymmetric about the line, each half swings as a plate a/2 x b, simply supported all round: the (2, 1) mode of
  // the whole. Thin-plate theory and its use here: Leissa, NASA SP-160 (from memory); recomputed above for thick
  // plates.
  const double halves = mindlin_hertz(plate_a / 2, plate_b, 1, 1);
  EXPECT_NEAR(middle.frequency[0] / halves, 1, 0.01) << middle.frequency[0] << " against " << halves;
  // Anywhere else the longer part is softer, so that the middle is best.
  double before = middle.frequency[0];
  for (double x : {0.32, 0.35, 0.4}) {
    const double f = place_modes(model, x).frequency[0];
    EXPECT_LT(f, before) << x;
    EXPECT_GT(f, mindlin_hertz(x, plate_b, 1, 1)) << x;  // the other part adds fixity at the line
    before = f;
  }
}

TEST(PlaceModel, NodesAreThoseOfChebyshev) {
  const std::vector<double> nodes = place_nodes(1, 3, 5);
  ASSERT_EQ(nodes.size(), 5u);
  EXPECT_NEAR(nodes[0], 1, 1e-12);
  EXPECT_NEAR(nodes[1], 2 - std::sqrt(0.5), 1e-12);
  EXPECT_NEAR(nodes[2], 2, 1e-12);
  EXPECT_NEAR(nodes[4], 3, 1e-12);
}

}  // namespace
}  // namespace stillbox
