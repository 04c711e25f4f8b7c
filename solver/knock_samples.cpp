// SPDX-License-Identifier: MIT
#include "solver/knock_samples.h"

#include <array>
#include <cmath>
#include <map>

#include "solver/cell_weights.h"
#include "solver/knock_points.h"
#include "solver/locate.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

struct PatchPoint {
  Eigen::Vector2d place;  // from the middle, m
  double weight;          // sum 1
};

std::vector<PatchPoint> patch_points() {
  // Gauss-Legendre on t = (r / a)^2 in (0, 1); dA = pi a^2 dt times the part of the full turn.
  const double g = std::sqrt(0.6) / 2;
  const double t[3] = {0.5 - g, 0.5, 0.5 + g}, w[3] = {5.0 / 18, 8.0 / 18, 5.0 / 18};
  constexpr int turns = 8;
  std::vector<PatchPoint> list;
  for (int i = 0; i < 3; ++i)
    for (int k = 0; k < turns; ++k) {
      const double r = knock_patch_radius * std::sqrt(t[i]), angle = 2 * M_PI * (k + 0.5) / turns;
      list.push_back({{r * std::cos(angle), r * std::sin(angle)}, 3 * w[i] * std::pow(1 - t[i], 2) / turns});
    }
  return list;
}

// The board whose outer plane holds a face of a cell, or -1. `corner` gives the face's four corners.
template <class Corners>
int wall_of_face(const Model &m, int cell, const Corners &corners) {
  const Structure &s = *m.structure;
  const int own = m.mesh.cells[cell].board;
  constexpr double tolerance = 1e-7;
  if (!s.cabinet) {
    const Board &board = s.boards[own];
    if (board.role != BoardRole::free && board.role != BoardRole::wall) return -1;
    for (const Eigen::Vector3d &x : corners)
      if (std::abs((x - board.origin).dot(board.normal()) - board.thickness()) > tolerance) return -1;
    return own;
  }
  // The inner face of a sheet laid on the outside would cancel the wall's.
  if (s.boards[own].role == BoardRole::sheet) return -1;
  constexpr int axis[6] = {1, 1, 0, 0, 2, 2};  // of the walls in the order of Wall
  constexpr bool is_far[6] = {false, true, false, true, true, false};
  for (int w = 0; w < 6; ++w) {
    const double plane = is_far[w] ? s.cabinet->outer[axis[w]] : 0;
    bool all = s.cabinet->walls[w] >= 0;
    for (const Eigen::Vector3d &x : corners) all = all && std::abs(x[axis[w]] - plane) < tolerance;
    if (all) return s.cabinet->walls[w];
  }
  return -1;
}

}  // namespace

SampleColumns point_columns(const Model &m, const std::vector<KnockPoint> &points) {
  const Discretisation &d = m.discretisation;
  const std::vector<PatchPoint> patch = patch_points();
  std::map<int, Locator> locators;
  WeightList triplets;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const KnockPoint &point = points[i];
    const Board &board = m.structure->boards[point.face];
    const Eigen::Vector2d corner = outline_bounds(board).first;
    const Locator &locator = locators.try_emplace(point.face, m.mesh, d, point.face).first->second;
    std::map<int, Eigen::VectorXd> weights;  // by cell
    for (const PatchPoint &q : patch) {
      const Eigen::Vector2d uv = corner + point.place + q.place;
      const Eigen::Vector3d place = board.bend ? board.at(uv.x(), uv.y(), board.thickness())
                                               : point.at + q.place.x() * board.u + q.place.y() * board.v;
      auto found = locator.find(place);
      if (!found) found = locator.find(place, 1e-2);  // beside a curved face
      // A coarse mesh of low degree follows a bend less closely: just under its face then.
      for (const double part : {0.98, 0.95, 0.9})
        if (!found && board.bend) found = locator.find(board.at(uv.x(), uv.y(), part * board.thickness()));
      if (!found)
        throw SolveError("a knock on \"" + board.name + "\" lies where there is no wood of it; move the point");
      const Eigen::VectorXd shape = shape_values(d, found->xi);
      Eigen::VectorXd &sum = weights.try_emplace(found->cell, Eigen::VectorXd::Zero(3 * shape.size())).first->second;
      for (int a = 0; a < shape.size(); ++a) sum.segment<3>(3 * a) += q.weight * shape[a] * point.normal;
    }
    for (const auto &[cell, sum] : weights) add_cell_weights(m, cell, sum, int(i), triplets);
  }
  return columns_from(m, int(points.size()), triplets);
}

WallSamples wall_columns(const Model &m) {
  const Discretisation &d = m.discretisation;
  WallSamples samples;
  std::map<int, int> column_of;
  for (int b : knock_boards(*m.structure)) {
    column_of[b] = int(samples.names.size());
    samples.names.push_back(m.structure->boards[b].name);
    samples.area.push_back(0);
  }
  WeightList triplets;
  const auto add = [&](int cell, int face, int wall) {
    const FaceGeometry g = face_geometry(d, cell, face, d.degree + 1);
    const Eigen::MatrixXd weight = g.values.transpose() * g.area;  // nodes x 3
    Eigen::VectorXd flat(3 * weight.rows());
    for (int a = 0; a < weight.rows(); ++a) flat.segment<3>(3 * a) = weight.row(a).transpose();
    const int column = column_of.at(wall);
    samples.area[column] += g.area.rowwise().norm().sum();
    add_cell_weights(m, cell, flat, column, triplets);
  };
  if (m.structure->solids) {
    for (const SkinFace &face : solid_skin(m))
      if (face.part == SkinPart::outside) add(face.cell, face.face, face.board);
  } else {
    for (int cell = 0; cell < int(d.cells.size()); ++cell)
      for (int face = 0; face < 6; ++face)
        if (const int wall = wall_of_face(m, cell, face_corners(d, cell, face)); wall >= 0) add(cell, face, wall);
  }
  samples.columns = columns_from(m, int(samples.names.size()), triplets);
  return samples;
}

}  // namespace stillbox
