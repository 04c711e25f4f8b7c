// SPDX-License-Identifier: MIT
// Hexahedra for cabinets by [shape]: against closed forms, the same box by [cabinet], and tetrahedra.
#include "solver/box_nodes.h"

#include "mesh/solids.h"
#include "solver/locate.h"
#include "solver/solid_skin.h"
#include "tests/mesh/mistakes.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

Structure read_lines(const std::string &lines) { return CaseText(without_cabinet(lines)).read().variants.at(0); }

std::string shape(const std::string &footprint, double height, const std::string &material, double thickness) {
  return "[shape]\nfootprint = " + footprint +
         "\nwalls = [\"baffle\", \"right\", \"back\", \"left\"]\nheight = " + std::to_string(height) +
         "\nrun_through = [\"baffle\", \"back\", \"left\", \"right\", \"top\", \"bottom\"]\n" +
         "board = { material = \"" + material + "\", thickness = " + std::to_string(thickness) + " }\n";
}

const std::string tapered = "[[0, 0], [200, 0], [150, 240], [50, 240]]";

Model model_of(const Structure &s, const SolveOptions &options, SolveReport &report) {
  Model m = build_model(s, options, report);
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    %d cells, %d unknowns, least Jacobian %.2f, volume off by %.1e\n", report.cells, report.dofs,
                report.least_jacobian, report.volume / report.volume_expected - 1);
  return m;
}

// Wood is what is within the outer faces less the room: prismatoids (any handbook), as in the tests of shapes.
TEST(BoxNodes, TruncatedWedgeHasItsVolumeAndMass) {
  for (const double slope : {0.0, 8.0, -5.0}) {
    const Structure s =
        read_lines(shape(tapered, 300, "mdf", 16) + "wall.baffle.slope_deg = " + std::to_string(slope) + "\n");
    SolveReport report;
    const Model m = model_of(s, to(600, 2, 0.5), report);
    EXPECT_FALSE(report.tetrahedra) << report.why_tetrahedra;
    const auto section = [](double cut) { return (0.2 - 0.1 * cut / 0.24 + 0.1) / 2 * (0.24 - cut); };
    const double lean = 0.3 * std::tan(slope * M_PI / 180);
    const double outer = 0.3 / 6 * (section(0) + 4 * section(lean / 2) + section(lean));
    EXPECT_NEAR((report.volume + s.solids->chamber_volume.at(0)) / outer, 1, 1e-9);
    EXPECT_NEAR(report.mass, 750 * report.volume, 1e-9);
    EXPECT_GT(report.least_jacobian, 0.4);
    std::vector<double> of_board(s.boards.size(), 0);
    const ReferenceCell reference = make_reference_cell(m.discretisation, 3);
    for (std::size_t c = 0; c < m.discretisation.cells.size(); ++c) {
      CellGeometry g;
      cell_geometry(m.discretisation, reference, int(c), g);
      of_board[std::size_t(m.mesh.cells[c].board)] += g.weights.sum();
    }
    for (std::size_t b = 0; b < of_board.size(); ++b)
      EXPECT_NEAR(of_board[b] / s.solids->board_volume[b], 1, 1e-8) << s.boards[b].name;
  }
}

TEST(BoxNodes, AShoeBoxIsTheBoxByCabinet) {
  const std::string parts =
      "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\ncentre = [80, 90]\ndiameter = 70\n"
      "[[driver]]\ncut_out = \"hole\"\nmass_kg = 0.6\nmounting = \"rigid basket\"\n"
      "[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 150\nthickness = 12\n";
  const Structure shaped = read_lines(shape("[[0, 0], [160, 0], [160, 140], [0, 140]]", 220, "acrylic", 12) + parts);
  const Structure native = read_lines(
      "[cabinet]\nouter_size = { width = 160, depth = 140, height = 220 }\nboard = { "
      "material = \"acrylic\", thickness = 12 }\n" +
      parts);
  const ModalResult a = solve_modes(shaped, to(1500, 3, 0.5)), b = solve_modes(native, to(1500, 3, 0.5));
  EXPECT_FALSE(a.report.tetrahedra);
  EXPECT_EQ(a.report.dofs, b.report.dofs);
  ASSERT_EQ(a.modes.size(), b.modes.size());
  ASSERT_GE(a.modes.size(), 3u);
  for (std::size_t i = 0; i < a.modes.size(); ++i) {
    EXPECT_NEAR(a.modes[i].frequency / b.modes[i].frequency, 1, 1e-7) << i;
    EXPECT_NEAR(a.modes[i].numerical_error, b.modes[i].numerical_error, 1e-5) << i;
    EXPECT_NEAR(a.modes[i].net_share, b.modes[i].net_share, 0.02) << i;
  }
}

// Both kinds of element come from above (Ritz); they may differ by their own stated errors, not more.
void expect_like_tetrahedra(const std::string &lines, double up_to, double fineness) {
  const std::string key = "height = ";
  std::string with_key = lines;
  with_key.insert(lines.find(key), "elements = \"tetrahedra\"\n");
  const ModalResult hexahedra = solve_modes(read_lines(lines), to(up_to, 3, 0.75)),
                    tetrahedra = solve_modes(read_lines(with_key), to(1.05 * up_to, 3, fineness));
  EXPECT_FALSE(hexahedra.report.tetrahedra) << hexahedra.report.why_tetrahedra;
  EXPECT_TRUE(tetrahedra.report.tetrahedra);
  ASSERT_GE(hexahedra.modes.size(), 2u);
  ASSERT_GE(tetrahedra.modes.size(), hexahedra.modes.size());
  for (std::size_t i = 0; i < hexahedra.modes.size(); ++i) {
    const Mode &h = hexahedra.modes[i], &t = tetrahedra.modes[i];
    EXPECT_LT(t.frequency / h.frequency - 1, t.numerical_error + 1e-4) << i;
    EXPECT_LT(h.frequency / t.frequency - 1, h.numerical_error + 1e-4) << i;
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    %.2f Hz +- %.2f %%, tetrahedra %.2f Hz +- %.2f %% (%d, %d unknowns)\n", h.frequency,
                  100 * h.numerical_error, t.frequency, 100 * t.numerical_error, hexahedra.report.dofs,
                  tetrahedra.report.dofs);
  }
}

TEST(BoxNodes, WedgeAgainstTetrahedra) {
  expect_like_tetrahedra(
      shape("[[0, 0], [160, 0], [130, 140], [30, 140]]", 220, "acrylic", 10) + "wall.baffle.slope_deg = 8\n", 1100,
      0.75);
}

TEST(BoxNodes, BentWallsAgainstTetrahedra) {
  expect_like_tetrahedra(shape("[[0, 0], [160, 0], [130, 140], [30, 140]]", 220, "acrylic", 10) +
                             "corners = \"mitre\"\nwall.left.radius = 200\nwall.right.radius = 200\n",
                         1000, 0.75);
}

TEST(BoxNodes, RimsStayRoundAndSquareToTheBoard) {
  const Structure s = read_lines(shape(tapered, 300, "mdf", 16) +
                                 "wall.baffle.slope_deg = 8\n[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = "
                                 "\"round\"\ncentre = [110, 120]\ndiameter = 110\n");
  SolveReport report;
  const Model m = model_of(s, to(600, 3, 0.6), report);
  ASSERT_EQ(m.discretisation.rims.size(), 1u);
  for (const int node : m.discretisation.rims[0].nodes) {
    const Eigen::Vector3d p = s.boards[0].coordinates_of(m.discretisation.points.row(node).transpose());
    EXPECT_NEAR(std::hypot(p.x() - 0.110, p.y() - 0.120), 0.055, 1e-9);
  }
  // Away from joints and cut-outs lines through the board are square to it: columns share their place.
  double worst = 0;
  const Locator locator(m.mesh, m.discretisation, 1);
  for (const double u : {0.09, 0.12, 0.15}) {
    const auto low = locator.find(s.boards[1].at(u, 0.15, 1e-6)),
               high = locator.find(s.boards[1].at(u, 0.15, 0.016 - 1e-6));
    ASSERT_TRUE(low && high);
    // The same local coordinates in the plane at both faces.
    Eigen::Vector3d off = (low->xi - high->xi).cwiseAbs();
    std::sort(off.data(), off.data() + 3);
    worst = std::max(worst, off[1]);
  }
  EXPECT_LT(worst, 0.02);
}

// The bevel's triangle, less nothing else: wood as measured; its face shows outside.
TEST(BoxNodes, BevelledEdge) {
  const Structure s = read_lines(shape(tapered, 300, "mdf", 16) +
                                 "wall.baffle.slope_deg = 6\n[[shape.chamfer]]\nedge = [\"baffle\", \"left\"]\nsize = "
                                 "[12, 9]\n[[shape.chamfer]]\nedge = [\"baffle\", \"right\"]\nsize = 12\n");
  SolveReport report;
  const Model m = model_of(s, to(600, 3, 0.8), report);
  ASSERT_FALSE(report.tetrahedra) << report.why_tetrahedra;
  EXPECT_NEAR(report.volume / report.volume_expected, 1, 1e-9);
  EXPECT_GT(report.least_jacobian, 0.2);
  const auto &[point, normal] = s.solids->outer_planes.at(0);
  double area = 0;
  Eigen::RowVector3d sum(0, 0, 0);
  for (const SkinFace &face : solid_skin(m)) {
    if (face.part != SkinPart::outside) continue;
    const FaceGeometry g = face_geometry(m.discretisation, face.cell, face.face, 3);
    sum += g.area.colwise().sum();
    if (g.area.colwise().sum().normalized().dot(normal.transpose()) > 1 - 1e-9) area += g.area.rowwise().norm().sum();
  }
  // Its width by the law of cosines from the legs and the angle between the outer faces.
  const Eigen::Vector3d a = s.boards[0].normal(), b = s.boards[3].normal();
  const double angle = M_PI - std::acos(a.dot(b)),
               width = std::sqrt(0.012 * 0.012 + 0.009 * 0.009 - 2 * 0.012 * 0.009 * std::cos(angle));
  EXPECT_NEAR(area, width * 0.3 / std::abs(a.cross(b).normalized().z()), 1e-2 * area);
  EXPECT_LT(sum.norm(), 1e-9);  // the outside is closed
  (void)point;
}

TEST(BoxNodes, BracesAndWindows) {
  for (const char *brace : {"kind = \"window\"\nnormal = \"height\"\nat = 250\nopenings = { rim = 30 }\n",
                            "kind = \"shelf\"\nnormal = \"height\"\nat = 120\n",
                            "kind = \"window\"\nnormal = \"depth\"\nat = 90\n"
                            "openings = { rim = 25 }\n"}) {
    const Structure s = read_lines(shape(tapered, 300, "mdf", 16) +
                                   "wall.baffle.slope_deg = 6\n[[brace]]\nname = "
                                   "\"brace\"\nthickness = 12\n" +
                                   brace);
    SolveReport report;
    model_of(s, to(600, 3, 0.6), report);
    EXPECT_FALSE(report.tetrahedra) << report.why_tetrahedra;
    EXPECT_NEAR(report.volume / report.volume_expected, 1, 1e-9) << brace;
  }
}

}  // namespace
}  // namespace stillbox
