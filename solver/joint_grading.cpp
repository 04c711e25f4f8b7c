// SPDX-License-Identifier: MIT
#include "solver/joint_grading.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "mesh/grid.h"

namespace stillbox {
namespace {

constexpr double same_place = 1e-7;   // m
constexpr double most_grading = 0.7;  // g of the header; this and the next are measured, see DEVELOPERS.md
constexpr double thick_from = 0.2;    // of the element size: boards as thick as this get all of it

struct Face {
  double at = 0;
  Eigen::Vector3d low, high;  // of its board
  bool at_rims_only = false;
};
using Faces = std::array<std::vector<Face>, 3>;  // by axis

// Faces at which boards meet others: the inner ones of walls, both of others; outer faces of walls for rims.
Faces faces_of(const Structure &s) {
  Faces faces;
  for (const Board &board : s.boards) {
    if (!is_axis_aligned_box(board) || board.role == BoardRole::sheet) continue;
    const int axis = axis_of(board.normal());
    const auto [low, high] = world_bounds(board);
    faces[axis].push_back({board.at(0, 0, 0)[axis], low, high, false});
    faces[axis].push_back({board.at(0, 0, board.thickness())[axis], low, high, board.role == BoardRole::wall});
  }
  return faces;
}

const Face *face_at(const std::vector<Face> &faces, double x, bool is_at_rim) {
  for (const Face &face : faces)
    if (std::abs(face.at - x) < same_place && (is_at_rim || !face.at_rims_only)) return &face;
  return nullptr;
}

// True when a place lies on faces of boards across two axes: on the line where one board stands on another.
bool is_in_corner(const Faces &faces, const Eigen::Vector3d &x) {
  int axes = 0;
  for (int a = 0; a < 3; ++a)
    axes += std::any_of(faces[a].begin(), faces[a].end(), [&](const Face &face) {
      return !face.at_rims_only && std::abs(face.at - x[a]) < same_place &&
             (x.array() > face.low.array() - same_place).all() && (x.array() < face.high.array() + same_place).all();
    });
  return axes > 1;
}

// True when one of a cell's local directions runs along a world axis from one plane across it to another; `low` and
// `high`: corners of the cell on these.
bool runs_along(const Discretisation &d, const std::vector<int> &nodes, int axis, int &low, int &high) {
  const int n = d.degree + 1, steps[3] = {1, n, n * n};
  for (int step : steps) {
    const double from = d.points(nodes[0], axis), to = d.points(nodes[step * (n - 1)], axis);
    if (std::abs(to - from) < 10 * same_place) continue;
    bool is_between = true;
    for (int i = 0; i < int(nodes.size()) && is_between; ++i)
      is_between = std::abs(d.points(nodes[i], axis) - from - d.knots[(i / step) % n] * (to - from)) < same_place;
    if (!is_between) continue;
    low = nodes[from < to ? 0 : step * (n - 1)];
    high = nodes[from < to ? step * (n - 1) : 0];
    return true;
  }
  return false;
}

// Cells at the rims of rigid baskets.
std::set<int> cells_at_baskets(const Structure &s, const Discretisation &d) {
  std::set<int> cells;
  for (const auto &rim : d.rims)
    for (const RimMass &mass : s.rim_masses)
      if (mass.rigid_basket && mass.board == rim.board && mass.cut_out == rim.cut_out)
        for (const auto &face : rim.faces) cells.insert(face.first);
  return cells;
}

double graded(double t, double g) { return t * (1 - g + g * t); }

std::vector<NodeShift> joint_shifts(const Structure &s, const std::vector<char> &near, const Discretisation &d,
                                    const MeshOptions &options) {
  if (d.degree < 3) return {};  // a parabola on graded nodes is no parabola any more: boards would be stiffer
  const Faces faces = faces_of(s);
  const std::set<int> at_basket = cells_at_baskets(s, d);
  const int n = d.degree + 1, ends[2] = {0, n - 1};
  double thinnest = 1e300, size = 0;
  for (const Board &board : s.boards)
    if (board.role != BoardRole::sheet) {
      thinnest = std::min(thinnest, board.thickness());
      size = std::max(size, element_size(s, board, options));
    }
  const double g = most_grading * std::min(1.0, thinnest / (thick_from * size));
  std::map<std::pair<int, int>, NodeShift> shifts;  // by node and axis
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    const std::vector<int> &nodes = d.cells[c];
    const bool is_at_rim = at_basket.count(int(c)) > 0;
    bool is_at_corner = is_at_rim;
    for (int k : ends)
      for (int j : ends)
        for (int i : ends) is_at_corner = is_at_corner || is_in_corner(faces, d.points.row(nodes[i + n * (j + n * k)]));
    if (!is_at_corner) continue;
    for (int a = 0; a < 3; ++a) {
      int low_node = 0, high_node = 0;
      if (!runs_along(d, nodes, a, low_node, high_node)) continue;
      const double low = d.points(low_node, a), high = d.points(high_node, a);
      const Face *below = face_at(faces[a], low, is_at_rim), *above = face_at(faces[a], high, is_at_rim);
      if (!below == !above) continue;
      if (high - low > thinnest) continue;
      for (int node : nodes) {
        const double t = std::abs(d.points(node, a) - (below ? low : high)) / (high - low);
        if (!near[node] || t <= 0 || t >= 1) continue;
        shifts[{node, a}] = {node, a, low_node, high_node, below ? graded(t, g) : 1 - graded(t, g)};
      }
    }
  }
  std::vector<NodeShift> list;
  for (const auto &[key, shift] : shifts) list.push_back(shift);
  return list;
}

}  // namespace

JointNodes joint_nodes(const Structure &s, const HexMesh &mesh, const Discretisation &d, const MeshOptions &options) {
  JointNodes nodes;
  const std::vector<char> near = near_joints(s, mesh, d);
  nodes.roles.followers = plain_columns(s, mesh, near, d, options);
  nodes.roles.inner_cell = inner_cells(mesh, d, nodes.roles.followers);
  nodes.shifts = joint_shifts(s, near, d, options);
  return nodes;
}

Eigen::Matrix<double, Eigen::Dynamic, 3> graded_points(const std::vector<NodeShift> &shifts, const Discretisation &d) {
  Eigen::Matrix<double, Eigen::Dynamic, 3> points = d.points;
  for (const NodeShift &s : shifts) {
    const double low = d.points(s.low, s.axis), high = d.points(s.high, s.axis);
    points(s.node, s.axis) = low + s.share * (high - low);
  }
  return points;
}

}  // namespace stillbox
