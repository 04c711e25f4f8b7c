// SPDX-License-Identifier: MIT
#include "solver/face_samples.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "mesh/solid_clearance.h"
#include "solver/locate.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

constexpr double spacing = 0.008;  // m

int points_along(double size) { return std::clamp(int(std::lround(size / spacing)) + 1, 13, 81); }

const char *role_word(BoardRole role) {
  switch (role) {
    case BoardRole::wall:
      return "wall";
    case BoardRole::brace:
      return "brace";
    case BoardRole::sheet:
      return "sheet";
    case BoardRole::free:
      return "free";
  }
  return "free";
}

Eigen::VectorXd net_volumes_of_solids(const Model &m,
                                      const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes) {
  const Discretisation &d = m.discretisation;
  Eigen::VectorXd net = Eigen::VectorXd::Zero(Eigen::Index(shapes.size()));
  for (const SkinFace &face : solid_skin(m)) {
    // Free boards have no inside that their outside closes.
    if (face.part != SkinPart::outside || m.structure->boards[std::size_t(face.board)].role == BoardRole::free)
      continue;
    const std::vector<int> &nodes = d.cells[std::size_t(face.cell)];
    const FaceGeometry g = face_geometry(d, face.cell, face.face, d.degree + 1);
    const Eigen::MatrixXd weight = g.values.transpose() * g.area;  // nodes x 3
    for (std::size_t k = 0; k < shapes.size(); ++k)
      for (std::size_t a = 0; a < nodes.size(); ++a)
        net[Eigen::Index(k)] += weight.row(Eigen::Index(a)).dot(shapes[k].row(nodes[a]));
  }
  return net;
}

}  // namespace

std::vector<FaceSamples> sample_faces(const Model &m,
                                      const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes) {
  std::vector<FaceSamples> faces;
  for (std::size_t b = 0; b < m.structure->boards.size(); ++b) {
    const Board &board = m.structure->boards[b];
    const auto [low, high] = outline_bounds(board);
    FaceSamples f;
    f.board = board.name;
    f.role = role_word(board.role);
    f.size = high - low;
    f.nu = points_along(f.size.x());
    f.nv = points_along(f.size.y());
    const bool middle = board.role == BoardRole::brace || board.role == BoardRole::sheet;
    const double level = middle ? board.thickness() / 2 : board.thickness();
    f.origin = board.at(low.x(), low.y(), level);
    f.is_bent = board.bend.has_value();
    f.is_closed = board.bend && f.size.x() > (2 * M_PI - 1e-6) * board.bend->radius;
    for (const Eigen::Vector2d &corner : outer_face_outline(*m.structure, int(b)))
      if (!middle) f.outline.push_back(corner - low);
    f.u = board.u;
    f.v = board.v;
    f.present.assign(std::size_t(f.nu) * f.nv, 0);
    f.normal.assign(shapes.size(), Eigen::VectorXd::Zero(f.nu * f.nv));
    const Locator locator(m.mesh, m.discretisation, int(b));
    for (int j = 0; j < f.nv; ++j)
      for (int i = 0; i < f.nu; ++i) {
        const Eigen::Vector2d p = low + Eigen::Vector2d(f.size.x() * i / (f.nu - 1), f.size.y() * j / (f.nv - 1));
        if (board.outline.size() != 4 && !is_in_outline(board, p)) continue;
        const Eigen::Vector3d place = board.at(p.x(), p.y(), level);
        const auto found = locator.find(place, 1e-3);
        if (!found) continue;
        const Eigen::Vector3d normal = board.axes_at(place).col(2);
        f.present[i + j * f.nu] = 1;
        const Eigen::VectorXd shape = shape_values(m.discretisation, found->xi);
        const std::vector<int> &nodes = m.discretisation.cells[found->cell];
        for (std::size_t k = 0; k < shapes.size(); ++k) {
          double value = 0;
          for (std::size_t a = 0; a < nodes.size(); ++a) value += shape[a] * shapes[k].row(nodes[a]).dot(normal);
          f.normal[k][i + j * f.nu] = value;
        }
      }
    faces.push_back(f);
  }
  return faces;
}

Eigen::VectorXd net_volumes(const Model &m, const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes) {
  Eigen::VectorXd net = Eigen::VectorXd::Zero(shapes.size());
  if (m.structure->solids) return net_volumes_of_solids(m, shapes);
  if (!m.structure->cabinet) return net;
  const Eigen::Vector3d outer = m.structure->cabinet->outer;
  const Discretisation &d = m.discretisation;
  const int n = d.degree + 1;
  for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
    // The inner face of a sheet laid on the outside would cancel the wall's.
    if (m.structure->boards[m.mesh.cells[cell].board].role == BoardRole::sheet) continue;
    for (int face = 0; face < 6; ++face) {
      // Corners of the face, to see whether it lies on the outside of the cabinet.
      const int fixed = face / 2, p = (fixed + 1) % 3, q = (fixed + 2) % 3;
      std::array<int, 3> at{};
      at[fixed] = face % 2 ? n - 1 : 0;
      bool outside = false;
      for (int axis = 0; axis < 3 && !outside; ++axis)
        for (double plane : {0.0, outer[axis]}) {
          bool all = true;
          for (int corner = 0; corner < 4 && all; ++corner) {
            at[p] = corner & 1 ? n - 1 : 0;
            at[q] = corner & 2 ? n - 1 : 0;
            all = std::abs(d.points(d.cells[cell][at[0] + n * (at[1] + n * at[2])], axis) - plane) < 1e-7;
          }
          outside = outside || all;
        }
      if (!outside) continue;
      const FaceGeometry g = face_geometry(d, int(cell), face, n);
      const Eigen::MatrixXd weight = g.values.transpose() * g.area;  // nodes x 3
      for (std::size_t k = 0; k < shapes.size(); ++k)
        for (std::size_t a = 0; a < d.cells[cell].size(); ++a)
          net[k] += weight.row(a).dot(shapes[k].row(d.cells[cell][a]));
    }
  }
  return net;
}

}  // namespace stillbox
