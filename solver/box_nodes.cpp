// SPDX-License-Identifier: MIT
#include "solver/box_nodes.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "mesh/mesh_error.h"
#include "solver/box_plates.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;
using Points = Eigen::Matrix<double, Eigen::Dynamic, 3>;

constexpr double same_place = 1e-7;     // m
constexpr double least_jacobian = 0.1;  // of unit tangents

bool same(double a, double b) { return std::abs(a - b) < same_place; }

struct Mover {
  const BoxedShape &b;
  const HexMesh &mesh;
  const Discretisation &d;  // in the box
  Points moved;
  std::vector<char> done;

  Vector3 in_box(int node) const { return d.points.row(node); }
  bool in_room(int axis, double x) const {
    return x > b.edges.inner_low[axis] - same_place && x < b.edges.inner_high[axis] + same_place;
  }
  // -1, 1 on the inner face of the wall at that end, else 0.
  int end_at(int axis, double x) const {
    return same(x, b.edges.inner_low[axis]) ? -1 : same(x, b.edges.inner_high[axis]) ? 1 : 0;
  }
  void put(int node, const Vector3 &x) {
    moved.row(node) = x.transpose();
    done[std::size_t(node)] = 1;
  }
};

struct Plate {
  PlateMesh mesh;
  std::map<std::array<long, 2>, int> column_at;
  std::vector<std::vector<int>> nodes;  // by column
};

// Columns and cells of the board between its two faces, where no other wall's depth counts.
Plate plate_of(const Mover &m, int board) {
  const Board &own = m.b.box.boards[std::size_t(board)];
  const double thickness = own.thickness();
  const int n = m.d.degree + 1;
  Plate plate;
  const auto is_within = [&](const Vector3 &x) {
    const double depth = own.coordinates_of(x).z();
    if (depth < -same_place || depth > thickness + same_place) return false;
    for (int axis = 0; axis < 3; ++axis)
      if (std::abs(own.normal()[axis]) < 0.5 && !m.in_room(axis, x[axis])) return false;
    return true;
  };
  const auto column = [&](int node) {
    const Vector3 p = own.coordinates_of(m.in_box(node));
    const std::array<long, 2> key{std::lround(p.x() / same_place), std::lround(p.y() / same_place)};
    const auto [it, fresh] = plate.column_at.try_emplace(key, int(plate.nodes.size()));
    if (fresh) {
      plate.mesh.columns.emplace_back(p.x(), p.y());
      plate.nodes.emplace_back();
    }
    return it->second;
  };
  for (std::size_t c = 0; c < m.d.cells.size(); ++c) {
    if (m.mesh.cells[c].board != board) continue;
    const std::vector<int> &nodes = m.d.cells[c];
    if (!std::all_of(nodes.begin(), nodes.end(), [&](int node) { return is_within(m.in_box(node)); })) continue;
    for (const int node : nodes) plate.nodes[std::size_t(column(node))].push_back(node);
    const auto at = [&](int i, int j, int k) { return nodes[std::size_t(i + n * (j + n * k))]; };
    for (int direction = 0; direction < 3; ++direction)
      for (const int side : {0, n - 1}) {
        std::vector<int> face;
        bool is_inner = true;
        for (int q = 0; q < n && is_inner; ++q)
          for (int p = 0; p < n && is_inner; ++p) {
            const int node = direction == 0 ? at(side, p, q) : direction == 1 ? at(p, side, q) : at(p, q, side);
            is_inner = std::abs(own.coordinates_of(m.in_box(node)).z()) < same_place;
            face.push_back(node);
          }
        if (!is_inner) continue;
        for (int &node : face) node = column(node);
        plate.mesh.cells.push_back(face);
      }
  }
  for (auto &nodes : plate.nodes) {
    std::sort(nodes.begin(), nodes.end());
    nodes.erase(std::unique(nodes.begin(), nodes.end()), nodes.end());
  }
  plate.mesh.inner.resize(plate.nodes.size());
  plate.mesh.outer.resize(plate.nodes.size());
  return plate;
}

Eigen::Vector2d flat(const Vector3 &x) { return {x.x(), x.y()}; }

// Rims of cut-outs keep their form and stand square to the board; those of windows follow the walls.
void hold_rims(const Mover &m, int board, Plate &plate) {
  const Board &own = m.b.box.boards[std::size_t(board)];
  for (const auto &rim : m.d.rims) {
    if (rim.board != board) continue;
    const auto window = std::find_if(m.b.windows.begin(), m.b.windows.end(),
                                     [&](const BoxWindow &w) { return w.board == board && w.cut_out == rim.cut_out; });
    for (const int node : rim.nodes) {
      const Eigen::Vector2d p = flat(own.coordinates_of(m.in_box(node)));
      const auto column =
          std::size_t(plate.column_at.at({std::lround(p.x() / same_place), std::lround(p.y() / same_place)}));
      if (window != m.b.windows.end()) {
        plate.mesh.inner[column] = window_in_shape(m.b, *window, p, 0);
        plate.mesh.outer[column] = window_in_shape(m.b, *window, p, 1);
      } else {
        plate.mesh.inner[column] = plate.mesh.outer[column] = rim_in_shape(m.b, board, rim.cut_out, p);
      }
    }
  }
}

// A wall's border: its edges with other walls, at both faces; on the inner face also the planes of braces.
void hold_wall(const Mover &m, int board, int axis, int side, Plate &plate) {
  const BoxEdges &e = m.b.edges;
  const Board &own = m.b.shape_board(board);
  const Board &likeness = m.b.box.boards[std::size_t(board)];
  const auto on_edge = [&](int along, int other, int at_other, double x, double depth) {
    Strips strips;
    strips[std::size_t(axis)] = {side, depth};
    strips[std::size_t(other)] = {at_other, 0};
    return flat(own.coordinates_of(place_at(e, along, strips, x).at));
  };
  const int p = (axis + 1) % 3, q = (axis + 2) % 3, brace_axis = m.b.brace_axis;
  for (std::size_t c = 0; c < plate.nodes.size(); ++c) {
    const Vector3 x = likeness.at(plate.mesh.columns[c].x(), plate.mesh.columns[c].y(), 0);
    const int end_p = m.end_at(p, x[p]), end_q = m.end_at(q, x[q]);
    if (end_p != 0 || end_q != 0) {
      const int other = end_p != 0 ? p : q, along = end_p != 0 ? q : p, end = end_p != 0 ? end_p : end_q;
      plate.mesh.inner[c] = on_edge(along, other, end, x[along], 0);
      plate.mesh.outer[c] = on_edge(along, other, end, x[along], 1);
      continue;
    }
    if (brace_axis < 0 || brace_axis == axis) continue;
    const std::vector<double> &knots = e.knots[std::size_t(brace_axis)];
    for (std::size_t k = 1; k + 1 < knots.size(); ++k) {
      if (!same(knots[k], x[brace_axis])) continue;
      const int other = brace_axis == p ? q : p;
      const Eigen::Vector2d low = on_edge(brace_axis, other, -1, knots[k], 0),
                            high = on_edge(brace_axis, other, 1, knots[k], 0);
      const double part = (x[other] - e.inner_low[other]) / (e.inner_high[other] - e.inner_low[other]);
      plate.mesh.inner[c] = low + part * (high - low);
    }
  }
}

// A brace's border lies on the inner faces of the walls, whose nodes are in place.
void hold_brace(const Mover &m, int board, Plate &plate) {
  const Board &own = m.b.shape_board(board), &likeness = m.b.box.boards[std::size_t(board)];
  for (std::size_t c = 0; c < plate.nodes.size(); ++c)
    for (const int node : plate.nodes[c]) {
      if (!m.done[std::size_t(node)]) continue;
      const double depth = likeness.coordinates_of(m.in_box(node)).z();
      const Eigen::Vector2d place = flat(own.coordinates_of(m.moved.row(node).transpose()));
      if (same(depth, 0)) plate.mesh.inner[c] = place;
      if (same(depth, own.thickness())) plate.mesh.outer[c] = place;
    }
}

void place_plate(Mover &m, int board, const Plate &plate) {
  const Board &own = m.b.shape_board(board), &likeness = m.b.box.boards[std::size_t(board)];
  const PlatePlaces places = spread_plate(plate.mesh, m.d.knots, lean_reach * own.thickness());
  for (std::size_t c = 0; c < plate.nodes.size(); ++c)
    for (const int node : plate.nodes[c]) {
      if (m.done[std::size_t(node)]) continue;
      const double depth = likeness.coordinates_of(m.in_box(node)).z();
      const Eigen::Vector2d p = places.inner[c] + depth / own.thickness() * (places.outer[c] - places.inner[c]);
      m.put(node, own.at(p.x(), p.y(), depth));
    }
}

// The grading of nodes within a cell, from the box to the cell's own polynomials in the shape.
void grade(const Mover &m, const Points &shifted, Points &result) {
  const int n = m.d.degree + 1;
  std::vector<char> done(std::size_t(m.d.points.rows()), 0);
  for (const std::vector<int> &nodes : m.d.cells)
    for (int a = 0; a < int(nodes.size()); ++a) {
      const int node = nodes[std::size_t(a)];
      const Vector3 shift = (shifted.row(node) - m.d.points.row(node)).transpose();
      if (done[std::size_t(node)] || shift.norm() < 1e-12) continue;
      done[std::size_t(node)] = 1;
      const std::array<double, 3> t{m.d.knots[std::size_t(a % n)], m.d.knots[std::size_t(a / n % n)],
                                    m.d.knots[std::size_t(a / n / n)]};
      std::array<Eigen::VectorXd, 3> value, slope;
      for (std::size_t k = 0; k < 3; ++k) {
        value[k] = lagrange_values(m.d.knots, t[k]);
        slope[k] = lagrange_slopes(m.d.knots, t[k]);
      }
      Eigen::Matrix3d jacobian = Eigen::Matrix3d::Zero();
      for (int i = 0; i < int(nodes.size()); ++i) {
        const int x = i % n, y = i / n % n, z = i / n / n;
        const Vector3 gradient(slope[0][x] * value[1][y] * value[2][z], value[0][x] * slope[1][y] * value[2][z],
                               value[0][x] * value[1][y] * slope[2][z]);
        jacobian += m.in_box(nodes[std::size_t(i)]) * gradient.transpose();
      }
      const Vector3 xi = Vector3(t[0], t[1], t[2]) + jacobian.inverse() * shift;
      const Eigen::VectorXd shape = shape_values(m.d, xi);
      Vector3 at = Vector3::Zero();
      for (int i = 0; i < int(nodes.size()); ++i) at += shape[i] * m.moved.row(nodes[std::size_t(i)]).transpose();
      result.row(node) = at.transpose();
    }
}

void check_cells(const Mover &m, const Discretisation &d) {
  const ReferenceCell reference = make_reference_cell(d, d.degree + 1);
  for (std::size_t c = 0; c < d.cells.size(); ++c) {
    CellGeometry g;
    cell_geometry(d, reference, int(c), g);
    if (g.least_scaled_jacobian < least_jacobian)
      throw MeshError("an element of \"" + m.b.box.boards[std::size_t(m.mesh.cells[c].board)].name +
                      "\" would be too skew");
  }
}

}  // namespace

void move_to_shape(const BoxedShape &b, const HexMesh &mesh, const Points &shifted, Discretisation &d) {
  Mover m{b, mesh, d, d.points, std::vector<char>(std::size_t(d.points.rows()), 0)};
  for (int node = 0; node < int(d.points.rows()); ++node) {
    const Strips strips = strips_of(b.edges, m.in_box(node));
    const auto within = std::count_if(strips.begin(), strips.end(), [](const Strip &strip) { return strip.side != 0; });
    if (within >= 2) m.put(node, place_in_block(b.edges, m.in_box(node)));
  }
  for (int axis = 0; axis < 3; ++axis)
    for (const int side : {-1, 1}) {
      const int board = b.edges.wall_at(axis, side);
      Plate plate = plate_of(m, board);
      hold_wall(m, board, axis, side, plate);
      hold_rims(m, board, plate);
      place_plate(m, board, plate);
    }
  for (const int board : b.braces) {
    Plate plate = plate_of(m, board);
    hold_brace(m, board, plate);
    hold_rims(m, board, plate);
    place_plate(m, board, plate);
  }
  Points result = m.moved;
  grade(m, shifted, result);
  Discretisation moved = d;
  moved.points = result;
  moved.rims.erase(std::remove_if(moved.rims.begin(), moved.rims.end(),
                                  [&](const auto &rim) {
                                    return std::any_of(b.windows.begin(), b.windows.end(), [&](const BoxWindow &w) {
                                      return w.board == rim.board && w.cut_out == rim.cut_out;
                                    });
                                  }),
                   moved.rims.end());
  check_cells(m, moved);
  d = std::move(moved);
}

}  // namespace stillbox
