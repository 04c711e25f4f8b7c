// SPDX-License-Identifier: MIT
// The outside and the inside of a [shape] for sound: closed surfaces, areas and volumes by hand, rigid motion.
#include "solver/outside_shape.h"

#include "mesh/solids.h"
#include "solver/drive_columns.h"
#include "solver/modes.h"
#include "tests/mesh/case_text.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

const std::string wedge =
    "name = \"trial wedge\"\nup_to_hz = 400\n[shape]\nfootprint = [[0, 0], [120, 0], [100, 110], [20, 110]]\nwalls = "
    "[\"baffle\", \"right\", \"back\", \"left\"]\nheight = 140\nboard = { material = \"acrylic\", thickness = 12 }\n"
    "[[cut_out]]\nname = \"driver\"\non = \"baffle\"\nshape = \"round\"\ncentre = [60, 70]\ndiameter = 60\n";

// A frustum's volume and faces by hand; the cut-out's disc exactly, by scaling, and before it within 2 %.
TEST(OutsideShape, WedgeIsClosed) {
  const CaseFile file = CaseText(wedge).read();
  const Structure &s = file.variants[0];
  const SurfaceMesh m = cabinet_surface(s, {}, 400, 9, 200);
  EXPECT_TRUE(is_closed(m));
  EXPECT_LT(m.elements.size(), 450u);
  EXPECT_NEAR(enclosed_volume(m), 0.1 * 0.11 * 0.14, 1e-12);
  std::vector<double> area(6, 0);
  for (std::size_t e = 0; e < m.elements.size(); ++e) area.at(std::size_t(m.wall[e])) += m.areas[Eigen::Index(e)];
  const double side = std::hypot(0.02, 0.11) * 0.14;
  const double expected[6] = {0.12 * 0.14, side, 0.08 * 0.14, side, 0.1 * 0.11, 0.1 * 0.11};
  for (std::size_t w = 0; w < 6; ++w) EXPECT_NEAR(area[w], expected[w], 1e-9) << w;
  EXPECT_NEAR(cut_out_shares(m, s, 0, 0).dot(m.areas), M_PI * 0.03 * 0.03, 1e-12);
  const Eigen::VectorXd sampled = sampled_shares(
      m, 0, s.boards[0], [](const Eigen::Vector2d &p) { return (p - Eigen::Vector2d(0.06, 0.07)).norm() < 0.03; });
  EXPECT_NEAR(sampled.dot(m.areas) / (M_PI * 0.03 * 0.03), 1, 0.02);
  EXPECT_THROW(cabinet_surface(s, {}, 20000), CaseError);
}

// Moved as a whole by d every element moves by d . n, the rim by d . n of its wall, and the room gains what the disc of
// the cut-out lets out: minus its area times d . n. (Divergence theorem.)
TEST(OutsideShape, RigidMotion) {
  const CaseFile file = CaseText(wedge).read();
  const Structure &s = file.variants[0];
  SolveReport report;
  const Model model = build_model(s, to(400, 2, 0.5), report);
  const SurfaceMesh mesh = cabinet_surface(s, {}, 400, 9, 200);
  const Eigen::Vector3d d(0.3, -0.7, 0.5);
  const Eigen::VectorXd x =
      restrict_rigid(model.unknowns, model.discretisation, d, Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero());
  const Eigen::VectorXd moved = outside_columns(model, mesh).transpose() * x;
  const Eigen::VectorXd in_hole = cut_out_shares(mesh, s, 0, 0);
  int wood = 0;
  for (Eigen::Index e = 0; e < moved.size(); ++e) {
    if (in_hole[e] > 0.3) continue;  // what is over the hole has less wood, or none
    ++wood;
    EXPECT_NEAR(moved[e], d.dot(mesh.normals.row(e)), 1e-9) << e;
  }
  EXPECT_GT(wood, 150);
  const std::vector<WallCutOut> cut_outs = wall_cut_outs(s);
  ASSERT_EQ(cut_outs.size(), 1u);
  EXPECT_NEAR((rim_columns(model, cut_outs).transpose() * x)[0], -d.y(), 1e-9);
  const SampleColumns inner = inner_wall_columns(model);
  EXPECT_EQ(inner.cols(), 7);  // six walls, and the braces that are not there
  const Eigen::VectorXd gained = inner.transpose() * x;
  EXPECT_NEAR(gained.sum() / (d.y() * M_PI * 0.03 * 0.03), 1, 2e-3);  // degree 2 follows the circle so far
  EXPECT_EQ(gained[6], 0);
}

}  // namespace
}  // namespace stillbox
