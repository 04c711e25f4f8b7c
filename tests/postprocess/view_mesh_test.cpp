// SPDX-License-Identifier: MIT
// The surface of the turning view against areas and motions in closed form.
#include "postprocess/view_mesh.h"

#include <nlohmann/json.hpp>

#include "solver/modes.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

// Mesh of a case with three made-up shapes: a translation, a turn about z, and stretching along x.
ModalField field_of(const Structure &s, Eigen::Vector3d &low, Eigen::Vector3d &high, int degree = 3) {
  SolveOptions options;
  options.up_to = 400;
  options.fineness = 0.5;
  options.degree = degree;
  SolveReport report;
  const Model model = build_model(s, options, report);
  ModalField field;
  field.degree = options.degree;
  field.knots = model.discretisation.knots;
  field.tetrahedron = model.discretisation.reference;
  field.points = model.discretisation.points;
  field.cells = model.discretisation.cells;
  for (const HexCell &cell : model.mesh.cells) field.cell_board.push_back(cell.board);
  low = field.points.colwise().minCoeff();
  high = field.points.colwise().maxCoeff();
  const Eigen::Index n = field.points.rows();
  Eigen::Matrix<double, Eigen::Dynamic, 3> shift = Eigen::Matrix<double, Eigen::Dynamic, 3>::Zero(n, 3), turn = shift,
                                           stretch = shift;
  shift.col(1).setConstant(-0.2);
  turn.col(0) = -field.points.col(1);
  turn.col(1) = field.points.col(0);
  stretch.col(0) = field.points.col(0).array().square();
  field.shapes = {shift, turn, stretch};
  return field;
}

Eigen::Vector3d point_of(const ViewMesh &m, std::size_t v) {
  return m.low + m.size / 65535 * Eigen::Vector3d(m.points[3 * v], m.points[3 * v + 1], m.points[3 * v + 2]);
}

double area_of(const ViewMesh &m, const std::string &board) {
  double area = 0;
  for (std::size_t q = 0; q < m.quads.size(); q += 4) {
    if (!board.empty() && m.boards[m.board[m.quads[q]]] != board) continue;
    const Eigen::Vector3d a = point_of(m, m.quads[q]), b = point_of(m, m.quads[q + 1]), c = point_of(m, m.quads[q + 2]),
                          d = point_of(m, m.quads[q + 3]);
    area += 0.5 * (c - a).cross(d - b).norm();
  }
  return area;
}

TEST(ViewMesh, ClosedBoxShowsItsOutside) {
  const CaseText text(box);  // 200 x 300 x 400 mm
  const CaseFile file = text.read();
  Eigen::Vector3d low, high;
  const ModalField field = field_of(file.variants[0], low, high);
  const ViewMesh m = view_mesh(file.variants[0], field, 2);
  EXPECT_NEAR(area_of(m, ""), 2 * (0.2 * 0.3 + 0.2 * 0.4 + 0.3 * 0.4), 1e-4);  // no inner face is among them
  EXPECT_NEAR(m.size, 0.4, 1e-9);
  EXPECT_EQ(m.shapes.size(), 2u);
  EXPECT_LE(m.points.size() / 3, 3500u);
  // A translation is the same everywhere; a turn is as far as the point lies from the axis (8 bits: 1/254).
  const double farthest = std::hypot(0.2, 0.3);
  for (std::size_t v = 0; v < m.points.size() / 3; ++v) {
    EXPECT_EQ(m.shapes[0][3 * v], 0);
    EXPECT_EQ(m.shapes[0][3 * v + 1], -127);
    const Eigen::Vector3d x = point_of(m, v);
    EXPECT_NEAR(m.shapes[1][3 * v] / 127.0, -x.y() / farthest, 0.0045);
    EXPECT_NEAR(m.shapes[1][3 * v + 1] / 127.0, x.x() / farthest, 0.0045);
  }
  // Lines: 12 edges of the box and the seams between boards; all of them on the outside.
  EXPECT_GE(m.lines.size() / 2, 12u);
  for (const std::uint16_t v : m.lines) ASSERT_LT(v, m.points.size() / 3);
}

// Of tetrahedra: a tube's outside by its cylinder, drawn as a polygon of 18 corners or more (its area falls short by
// 2.03 % at most); the divider's two faces; what looks into the room is left out.
TEST(ViewMesh, TubeOfTetrahedra) {
  const CaseText text(
      "name = \"trial tube\"\nup_to_hz = 300\n[shape]\nboard = { material = \"mdf\", thickness = 15 }\ntube = { "
      "diameter = 160, length = 200 }\n[[brace]]\nname = \"divider\"\nkind = \"shelf\"\nnormal = \"height\"\nat = "
      "80\n");
  const CaseFile file = text.read();
  Eigen::Vector3d low, high;
  const ModalField field = field_of(file.variants[0], low, high, 2);
  const ViewMesh m = view_mesh(file.variants[0], field, 3);
  EXPECT_NEAR(area_of(m, "divider") / (2 * M_PI * 0.065 * 0.065), 1, 0.0204);
  EXPECT_NEAR(area_of(m, "tube") / (2 * M_PI * 0.08 * 0.2 + 2 * M_PI * (0.08 * 0.08 - 0.065 * 0.065)), 1, 0.0204);
  EXPECT_NEAR(area_of(m, "top") / (M_PI * 0.065 * 0.065), 1, 0.0204);
  // Normals point away from the axis on the bent wall, where there are any.
  int round = 0;
  for (std::size_t v = 0; v < m.board.size(); ++v) {
    if (m.boards[m.board[v]] != "tube" || std::abs(m.normals[3 * v + 2]) > 1) continue;
    Eigen::Vector3d out = point_of(m, v) - Eigen::Vector3d(0.08, 0.08, 0),
                    normal(m.normals[3 * v], m.normals[3 * v + 1], 0);
    out.z() = 0;
    if (normal.norm() == 0) continue;
    ++round;
    EXPECT_GT(out.normalized().dot(normal) / 127, 0.99);
  }
  EXPECT_GT(round, 100);
  for (std::size_t v = 0; v < m.board.size(); ++v)
    EXPECT_NEAR(m.shapes[2][3 * v] / 127.0, std::pow(point_of(m, v).x() / 0.16, 2), 0.0045);
  // Fewer bytes, fewer modes; fewer points, no halves but those of round edges.
  EXPECT_EQ(view_mesh(file.variants[0], field, 3, {3500, 2 * m.points.size()}).shapes.size(), 2u);
  EXPECT_LT(view_mesh(file.variants[0], field, 0, {100, 0}).points.size(), m.points.size());
}

TEST(ViewMesh, HolesAreRoundAndBracesShow) {
  const CaseText text(box +
                      "[[cut_out]]\nname = \"w\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 200]\n"
                      "diameter = 120\n[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 100\n");
  const CaseFile file = text.read();
  Eigen::Vector3d low, high;
  const ModalField field = field_of(file.variants[0], low, high);
  const ViewMesh m = view_mesh(file.variants[0], field, 3);
  // The shelf's two faces; its edges are glued.
  EXPECT_NEAR(area_of(m, "shelf"), 2 * 0.164 * 0.264, 1e-4);
  // Outside less the hole, plus its rim: a polygon falls short of the circle by less than 2 %.
  const double hole = M_PI * 0.06 * 0.06, rim = M_PI * 0.12 * 0.018;
  const double baffle = area_of(m, "baffle");
  const double outside = area_of(m, "") - area_of(m, "shelf");
  EXPECT_NEAR(outside, 2 * (0.2 * 0.3 + 0.2 * 0.4 + 0.3 * 0.4) - hole + rim, 0.02 * (hole + rim));
  EXPECT_GT(baffle, rim);
  // Normals only on large faces, and of length 1.
  for (std::size_t v = 0; v < m.board.size(); ++v) {
    const double length = std::hypot(m.normals[3 * v], m.normals[3 * v + 1], m.normals[3 * v + 2]);
    EXPECT_TRUE(length == 0 || std::abs(length - 127) < 1) << length;
  }
  // A quadratic motion is followed by the elements' shapes: x^2, largest 0.04 at x = 0.2.
  for (std::size_t v = 0; v < m.board.size(); ++v)
    EXPECT_NEAR(m.shapes[2][3 * v] / 127.0, std::pow(point_of(m, v).x() / 0.2, 2), 0.0045);
  // Fewer points are coarser, not other.
  const ViewMesh coarse = view_mesh(file.variants[0], field, 1, {1200, 1u << 20});
  EXPECT_LE(coarse.points.size() / 3, 1200u);
  EXPECT_LT(coarse.points.size(), m.points.size());
  EXPECT_NEAR(area_of(coarse, "shelf"), 2 * 0.164 * 0.264, 1e-4);
  const auto json = nlohmann::json::parse(view_mesh_json(coarse));
  EXPECT_EQ(json["points"].get<std::string>().size(), 4 * ((2 * coarse.points.size() + 2) / 3));
  EXPECT_EQ(json["shapes"].size(), 1u);
}

}  // namespace
}  // namespace stillbox
