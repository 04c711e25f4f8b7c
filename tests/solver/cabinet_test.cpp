// SPDX-License-Identifier: MIT
// Whole cabinets: mass, rigid motion, symmetry, braces and glue, and the accuracy of the default settings.
#include "mesh/case_file.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

const Material wood = isotropic(3.5e9, 0.25, 750);

Structure box(double t = 0.018) { return cabinet(0.22, 0.30, 0.38, t, Corner::butt, wood); }

TEST(Cabinet, FloatsFreelyWithSixRigidMotions) {
  const Structure s = box();
  const Solved r = solve(s, to(900, 2));
  EXPECT_EQ(r.spectrum.rigid, 6);
  EXPECT_EQ(r.report.rigid_modes, 6);
  EXPECT_EQ(r.spectrum.counted_below, 6 + int(r.omegas.size()));
  ASSERT_GE(r.omegas.size(), 1u);
  EXPECT_GT(r.hertz(0), 200);  // nothing rigid is left among the elastic modes
}

// Closed form: outer box less inner box less cut-outs, brace, and fittings.
TEST(Cabinet, WeighsWhatItsBoardsAndFittingsWeigh) {
  const Structure s = stand_mount(wood);
  SolveReport report;
  const Model m = build_model(s, to(1000), report);
  const double t = 0.018, a = 0.22 - 2 * t, b = 0.30 - 2 * t;
  const double shell = 0.22 * 0.30 * 0.38 - a * b * (0.38 - 2 * t);
  const double holes = M_PI / 4 * (0.145 * 0.145 + 0.072 * 0.072 + 0.05 * 0.05) + 0.06 * 0.05;
  const double brace = (a * b - (a - 0.09) * (b - 0.09)) * t;
  const double volume = shell - holes * t + brace;
  EXPECT_NEAR(report.volume / volume, 1, 1e-5);
  EXPECT_NEAR(report.volume_expected / volume, 1, 1e-12);
  EXPECT_NEAR(report.mass / (750 * volume + 1.8 + 0.5), 1, 1e-5);
  EXPECT_NEAR(report.mass_expected / (750 * volume + 1.8 + 0.5), 1, 1e-12);
  EXPECT_NEAR(volumes_of(s).inner, a * b * (0.38 - 2 * t) - brace, 1e-12);
  // The mass matrix holds all of it.
  for (int k = 0; k < 3; ++k) {
    const Eigen::VectorXd shift = restrict_rigid(m.unknowns, m.discretisation, Eigen::Vector3d::Unit(k),
                                                 Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero());
    EXPECT_NEAR(shift.dot(multiply(m.system.mass, shift).col(0)) / report.mass, 1, 1e-9);
  }
}

// A cube of equal walls of one isotropic material has the symmetry of the cube, whatever the corners: by group theory
// its modes come singly, in pairs or in threes, never otherwise (barring chance), and in exact numbers.
TEST(Cabinet, CubeHasPairsAndTriples) {
  std::vector<std::vector<double>> runs;
  for (const Corner corner : {Corner::butt, Corner::mitre}) {
    const Structure s = cabinet(0.25, 0.25, 0.25, 0.02, corner, wood);
    const Solved r = solve(s, to(1500, 2));
    EXPECT_EQ(r.spectrum.rigid, 6);
    ASSERT_GE(r.omegas.size(), 6u);
    int pairs = 0, triples = 0;
    for (std::size_t i = 0; i < r.omegas.size();) {
      std::size_t end = i + 1;
      while (end < r.omegas.size() && r.omegas[end] / r.omegas[i] - 1 < 1e-7) ++end;
      EXPECT_LE(end - i, 3u);
      pairs += end - i == 2;
      triples += end - i == 3;
      i = end;
    }
    EXPECT_GE(pairs, 1);
    EXPECT_GE(triples, 1);
    runs.push_back(r.omegas);
  }
  // One material: who owns the wood of a corner makes no difference.
  ASSERT_EQ(runs[0].size(), runs[1].size());
  for (std::size_t i = 0; i < runs[0].size(); ++i) EXPECT_NEAR(runs[1][i] / runs[0][i], 1, 1e-7);
}

// With 1 mm of rib in the corner between back and bottom nothing that can be heard changes: it adds millionths of the
// mass next to a joint that hardly bends. The tolerance covers the grid lines that the rib adds to the mesh.
TEST(Cabinet, AVanishingBraceChangesNothing) {
  Structure s = box();
  const Solved without = solve(s, to(1000));
  Board rib = make_rectangle("rib", {0.10, 0.281, 0.018}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(), 0.02,
                             0.001, 0.001, 0);
  rib.role = BoardRole::brace;
  s.boards.push_back(rib);
  const Solved with = solve(s, to(1000));
  ASSERT_GE(without.omegas.size(), 8u);
  ASSERT_EQ(with.omegas.size(), without.omegas.size());
  for (std::size_t i = 0; i < without.omegas.size(); ++i) EXPECT_NEAR(with.omegas[i] / without.omegas[i], 1, 1e-3) << i;
}

// A shelf glued on no side is a board that floats inside: two bodies, twelve rigid motions, and as elastic modes those
// of the box alone and of the shelf alone. Glued on all sides it raises the first mode.
TEST(Cabinet, GlueMakesTheBrace) {
  Structure s = box();
  const Solved bare = solve(s, to(900, 2));
  add_shelf(s, 0.18, 0.022);
  const Solved glued = solve(s, to(900, 2));
  s.boards.back().glued.fill(false);
  const Solved loose = solve(s, to(900, 2));
  EXPECT_EQ(glued.spectrum.rigid, 6);
  EXPECT_EQ(loose.spectrum.rigid, 12);
  EXPECT_EQ(loose.spectrum.counted_below, 12 + int(loose.omegas.size()));
  ASSERT_FALSE(bare.omegas.empty());
  EXPECT_GT(glued.omegas.empty() ? 900 : glued.hertz(0), bare.hertz(0) * 1.1);
  // 1 %: the loose shelf's faces add grid lines to the walls.
  const Structure shelf = free_plate(0.22 - 0.036, 0.30 - 0.036, 0.022, wood);
  std::vector<double> both = bare.omegas;
  const Solved alone = solve(shelf, to(900, 3, 2));
  both.insert(both.end(), alone.omegas.begin(), alone.omegas.end());
  std::sort(both.begin(), both.end());
  EXPECT_EQ(loose.omegas.size(), both.size());
  expect_modes(loose.omegas, both, 1e-2);
}

// The default settings against a much finer mesh. Its figures are independently recomputed (by this program, with other
// elements: 707 946 unknowns against 131 334, some four minutes) and kept:
//   build/stillbox modes tests/solver/small-box.toml --damping energy --degree 5 --fineness 3
// With --fineness 1.5 (573 846 unknowns) they are higher by 0.01-0.09 %: so far they are sure themselves.
TEST(Cabinet, DefaultSettingsAreWithinHalfAPerCent) {
  const std::vector<double> much_finer = {748.17,  855.76,  864.24,  935.66,  997.38, 1045.44,
                                          1095.83, 1144.57, 1288.53, 1437.93, 1438.60};
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/tests/solver/small-box.toml", "");
  const Solved plain = solve(file.variants.front(), to(file.mesh.up_to));
  ASSERT_EQ(plain.omegas.size(), much_finer.size());
  double worst = 0;
  for (std::size_t i = 0; i < much_finer.size(); ++i) {
    const double off = plain.hertz(i) / much_finer[i] - 1;
    EXPECT_GT(off, 0) << i;  // finite elements err upwards (Ritz)
    worst = std::max(worst, off);
  }
  EXPECT_LT(worst, 5e-3);
  if (std::getenv("STILLBOX_TELL")) std::printf("    worst %.3f %% of %zu modes\n", 100 * worst, plain.omegas.size());
}

}  // namespace
}  // namespace stillbox
