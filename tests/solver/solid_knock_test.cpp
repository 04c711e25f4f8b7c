// SPDX-License-Identifier: MIT
// Knocks on cabinets made of solids: against hexahedra, rigid mechanics, areas and clearances by hand.
#include "mesh/solids.h"
#include "solver/face_samples.h"
#include "solver/knock_points.h"
#include "solver/knock_response.h"
#include "solver/knock_samples.h"
#include "solver/knock_solve.h"
#include "solver/solid_skin.h"
#include "tests/mesh/case_text.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

std::vector<KnockPoint> points_on(const Structure &s, const std::vector<std::string> &spots) {
  std::vector<KnockPoint> points;
  for (const std::string &spot : spots) points.push_back(knock_point(s, read_knock_spot(spot)));
  return points;
}

int board_named(const Structure &s, const std::string &name) {
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    if (s.boards[b].name == name) return int(b);
  return -1;
}

// A shoe box written by its footprint, in tetrahedra of degree 4, beside the same boards in hexahedra of degree 3,
// whose own checks stand in knock_solve_test. Tetrahedra at fineness 0.5 are too stiff at joints, up to 1.3 % in
// frequency; the heights of the peaks are within 0.4 dB (at fineness 0.75, seven seconds: 0.7 % and 0.12 dB), areas to
// rounding.
TEST(SolidsKnock, ShoeBoxAsShapeAgainstHexahedra) {
  const std::string head = "name = \"trial\"\nup_to_hz = 1320\n",
                    board = "board = { material = \"acrylic\", thickness = 12 }\n";
  const CaseText native(head + "[cabinet]\nouter_size = { width = 160, depth = 140, height = 220 }\n" + board);
  const CaseText shaped(
      head +
      "[shape]\nelements = \"tetrahedra\"\nfootprint = [[0, 0], [160, 0], [160, 140], [0, 140]]\nheight = 220\nwalls = "
      "[\"baffle\", \"right\", \"back\", \"left\"]\nrun_through = [\"baffle\", \"back\", \"left\", "
      "\"right\", \"top\", \"bottom\"]\n" +
      board);
  const CaseFile files[2] = {native.read(), shaped.read()};
  std::vector<KnockSolution> knock;
  for (int i = 0; i < 2; ++i) {
    const Structure &s = files[i].variants[0];
    EXPECT_EQ(bool(s.solids), i == 1);
    // The middle of each wall, off it, and near an edge: world places are the same, board coordinates are not.
    std::vector<KnockPoint> points;
    for (const auto &[name, at] : std::vector<std::pair<std::string, Eigen::Vector3d>>{{"left", {0, 0.06, 0.11}},
                                                                                       {"right", {0.16, 0.05, 0.09}},
                                                                                       {"back", {0.09, 0.14, 0.1}},
                                                                                       {"top", {0.07, 0.08, 0.22}},
                                                                                       {"baffle", {0.08, 0, 0.165}},
                                                                                       {"bottom", {0.05, 0.1, 0}}}) {
      const int b = board_named(s, name);
      const Eigen::Vector3d uvn = s.boards[std::size_t(b)].coordinates_of(at);
      KnockSpot spot;
      spot.wall = name;
      spot.place = uvn.head<2>() - outline_bounds(s.boards[std::size_t(b)]).first;
      points.push_back(knock_point(s, spot));
      EXPECT_LT((points.back().at - at).norm(), 1e-12);
    }
    knock.push_back(solve_knock(s, i == 0 ? to(1320, 3) : to(1320, 4, 0.5), points));
  }
  const KnockModel &hex = knock[0].model, &tet = knock[1].model;
  for (const std::string &wall : hex.walls) {
    const auto area = [&](const KnockModel &m) {
      return m.wall_area[std::size_t(std::find(m.walls.begin(), m.walls.end(), wall) - m.walls.begin())];
    };
    EXPECT_NEAR(area(tet) / area(hex), 1, 1e-9) << wall;
  }
  ASSERT_GE(hex.poles.size(), 4);
  ASSERT_GE(tet.poles.size(), hex.poles.size() - 1);
  const Eigen::Index count = std::min(hex.poles.size(), tet.poles.size());
  const auto spectra = [&](const KnockModel &m) -> Eigen::MatrixXd {
    return drive_point_spectra(m, Motion::velocity, m.poles.imag() / (2 * M_PI)).cwiseAbs();
  };
  const Eigen::MatrixXd a = spectra(hex), b = spectra(tet);
  double worst_frequency = 0, worst_height = 0;
  int peaks = 0;
  for (Eigen::Index k = 0; k < count; ++k) {
    worst_frequency = std::max(worst_frequency, std::abs(tet.poles[k].imag() / hex.poles[k].imag() - 1));
    for (Eigen::Index p = 0; p < a.rows(); ++p) {
      // Peaks that are this mode's own, not the flank of another: x^2 / (2 |Re p|) is its part at its frequency.
      const double own = std::norm(hex.shapes(p, k)) / (2 * std::abs(hex.poles[k].real()));
      if (own > 0.6 * a(p, k) && a(p, k) > 0.1 * a.maxCoeff()) {
        worst_height = std::max(worst_height, std::abs(20 * std::log10(b(p, k) / a(p, k))));
        ++peaks;
      }
    }
  }
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    frequencies within %.2f %%, heights of %d peaks within %.2f dB, %d modes\n", 100 * worst_frequency,
                peaks, worst_height, int(count));
  EXPECT_GE(peaks, 10);
  EXPECT_LT(worst_frequency, 0.015);
  EXPECT_LT(worst_height, 0.4);
}

// At low frequency a free closed tube moves as a rigid body: accelerance 1 / m + (arm x n)' I^-1 (arm x n), mass and
// inertia of the full cylinder less the room (elementary mechanics). So points, normals and patches on the bent wall
// are where they should be; the walls' areas are those of a cylinder, as far as elements of degree 2 follow a circle.
TEST(SolidsKnock, TubeIsARigidBodyAtLowFrequency) {
  const CaseText text(
      "name = \"trial tube\"\nup_to_hz = 300\n[shape]\nboard = { material = \"acrylic\", thickness = 10 }\ntube = { "
      "diameter = 120, length = 150 }\n");
  const CaseFile file = text.read();
  const Structure &s = file.variants[0];
  const auto points = points_on(s, {"tube, 40, 60", "tube, 250, 100", "top, 30, 50", "bottom, 50, 70"});
  EXPECT_NEAR(Eigen::Vector2d(points[1].at.x() - 0.06, points[1].at.y() - 0.06).norm(), 0.06, 1e-12);
  const KnockSolution knock = solve_knock(s, to(50, 2, 0.5), points);
  ASSERT_EQ(knock.model.rigid.cols(), 6);
  const double density = s.materials[0].density, R = 0.06, r = 0.05, L = 0.15, l = 0.13;
  const auto body = [&](double radius, double length) -> Eigen::Vector4d {
    const double mass = density * M_PI * radius * radius * length,
                 side = mass * (radius * radius / 4 + length * length / 12);
    return {mass, side, side, mass * radius * radius / 2};
  };
  const Eigen::Vector4d all = body(R, L) - body(r, l);
  const Eigen::Vector3d middle(R, R, L / 2);
  const Eigen::VectorXd f = Eigen::VectorXd::Constant(1, 0.05);
  for (std::size_t c = 0; c < points.size(); ++c) {
    const Eigen::MatrixXcd found = transfer_spectra(knock.model, Motion::acceleration, int(c), f);
    for (std::size_t p = 0; p < points.size(); ++p) {
      const auto arm = [&](std::size_t i) -> Eigen::Vector3d {
        return (points[i].at - middle).cross(points[i].normal);
      };
      const double expected =
          points[p].normal.dot(points[c].normal) / all[0] + arm(p).dot(arm(c).cwiseQuotient(all.tail<3>()));
      EXPECT_NEAR(found(Eigen::Index(p), 0).real(), expected, 1e-3 / all[0]) << p << " " << c;
    }
  }
  ASSERT_EQ(knock.model.walls, (std::vector<std::string>{"tube", "bottom", "top"}));
  EXPECT_NEAR(knock.model.wall_area[0] / (2 * M_PI * R * L), 1, 1e-4);
  // The tube's end shows around the disc that is set into it.
  EXPECT_NEAR(knock.model.wall_area[1] / (M_PI * R * R), 1, 1e-3);
}

// The skin of a tapered, chamfered cabinet is closed: outside, rim and inside together have no area vector, the outside
// encloses the volume of a frustum less two bevels, the inside the room (prismatoid formula, as in shape_test).
void expect_closed_skin(const Structure &s) {
  SolveReport report;
  const Model m = build_model(s, to(300, 2, 0.5), report);
  std::array<double, 3> volume{0, 0, 0};
  Eigen::RowVector3d vector = Eigen::RowVector3d::Zero();
  for (const SkinFace &face : solid_skin(m)) {
    const FaceGeometry g = face_geometry(m.discretisation, face.cell, face.face, 2);
    vector += g.area.colwise().sum();
    volume[std::size_t(face.part)] += g.places.cwiseProduct(g.area).sum() / 3;
  }
  EXPECT_LT(vector.norm(), 1e-14);
  // Trapezoid 120 and 80 over 110; the bevel takes a triangle of two sides of 6 mm at the corner.
  const double corner = std::atan2(110.0, 20.0), outer = ((120 + 80) / 2.0 * 110 - 18 * std::sin(corner)) * 140e-9;
  EXPECT_NEAR(volume[0], outer, 1e-12);
  EXPECT_EQ(volume[1], 0);
  ASSERT_EQ(s.solids->chamber_volume.size(), 1u);
  EXPECT_NEAR(volume[2], -s.solids->chamber_volume[0], 1e-12);
}

TEST(SolidsKnock, SkinOfATaperedCabinet) {
  const std::string head = "name = \"trial wedge\"\nup_to_hz = 300\n[shape]\n",
                    rest =
                        "footprint = [[0, 0], [120, 0], [100, 110], [20, 110]]\nwalls = "
                        "[\"baffle\", \"right\", \"back\", \"left\"]\nheight = 140\nboard = { material = "
                        "\"acrylic\", thickness = 12 }\n[[shape.chamfer]]\nedge = [\"baffle\", \"left\"]\nsize = 6\n";
  const CaseText text(head + rest), in_tetrahedra(head + "elements = \"tetrahedra\"\n" + rest);
  const CaseFile file = text.read();
  const Structure &s = file.variants[0];
  expect_closed_skin(s);
  expect_closed_skin(in_tetrahedra.read().variants[0]);
  // A place on the bevel is no place for a knock; beside it there is room again.
  const int front = board_named(s, "baffle");
  EXPECT_NEAR(wood_clearance(s, front, {0.003, 0.07}), -0.003, 1e-9);
  EXPECT_NEAR(wood_clearance(s, front, {0.02, 0.07}), 0.014, 1e-9);
  EXPECT_NEAR(wood_clearance(s, front, {0.1, 0.07}), 0.02, 1e-9);
  const auto grid = knock_grid(s, 60);
  EXPECT_GE(grid.size(), 60u);
  for (const KnockPoint &p : grid) EXPECT_GT((p.at - Eigen::Vector3d(0.06, 0.05, 0.07)).dot(p.normal), 0.03);
}

// Of a STEP file only what is wood is knocked: the wedge's left wall leans in at the front, its baffle has a hole.
TEST(SolidsKnock, OnlyWoodOfADrawing) {
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/drawn-elsewhere.toml", built_in_materials);
  const Structure &s = file.variants[0];
  int points = 0, off = 0;
  for (const int b : knock_boards(s)) {
    const auto [low, high] = outline_bounds(s.boards[std::size_t(b)]);
    for (int i = 1; i < 8; ++i)
      for (int j = 1; j < 8; ++j) {
        const Eigen::Vector2d uv = low + Eigen::Vector2d(i / 8.0, j / 8.0).cwiseProduct(high - low);
        wood_clearance(s, b, uv) >= knock_patch_radius ? ++points : ++off;
      }
  }
  EXPECT_GT(points, 6 * 49 / 2);
  EXPECT_GT(off, 8);
  SolveReport report;
  const Model m = build_model(s, to(100, 2, 0.5), report);
  const std::vector<KnockPoint> grid = knock_grid(s, 60);
  EXPECT_EQ(point_columns(m, grid).cols(), Eigen::Index(grid.size()));
}

}  // namespace
}  // namespace stillbox
