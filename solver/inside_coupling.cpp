// SPDX-License-Identifier: MIT
#include "solver/inside_coupling.h"

#include <algorithm>
#include <cmath>

#include "solver/gauss_legendre.h"
#include "solver/locate.h"

namespace stillbox {
namespace {

constexpr double into_air = 1e-6;  // m: a face's points are looked for this far off it
// The same where faces are bent: wood and air follow them each with its own polynomials.
constexpr double into_bent_air = 1e-4, bent_tolerance = 1e-3;

// Gauss points a face's side: the air's elements end anywhere on it, and its shape functions have kinks there.
constexpr int face_points = 10;

}  // namespace

Eigen::MatrixXd couple_faces(const Model &wood, const NodeShapes &walls, const InsideField &air, double *area) {
  const Discretisation &d = wood.discretisation, &ad = air.discretisation;
  const Locator locator(air.mesh.mesh, ad, 0);
  const bool any_bent = std::any_of(wood.structure->boards.begin(), wood.structure->boards.end(),
                                    [](const Board &board) { return board.bend.has_value(); });
  const double off = any_bent ? into_bent_air : into_air, tolerance = any_bent ? bent_tolerance : 1e-6;
  const int faces = d.shape == CellShape::hexahedron ? 6 : 4;
  Eigen::MatrixXd W = Eigen::MatrixXd::Zero(ad.points.rows(), Eigen::Index(walls.size()));
  Locator near(locator);  // of the cells about one face
  if (area) *area = 0;
  const Eigen::Vector3d low = ad.points.colwise().minCoeff().transpose().array() - 1e-4,
                        high = ad.points.colwise().maxCoeff().transpose().array() + 1e-4;
  for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
    const std::vector<int> &nodes = d.cells[cell];
    for (int face = 0; face < faces; ++face) {
      // Cheap look first: the face's nodes lie about the air, and its middle touches it.
      const FaceGeometry probe = face_geometry(d, int(cell), face, 1);
      const Eigen::Vector3d middle = probe.places.row(0), out = probe.area.row(0).normalized();
      if ((middle.array() < low.array()).any() || (middle.array() > high.array()).any()) continue;
      if (!locator.find(middle + off * out, tolerance)) continue;
      const FaceGeometry g = face_geometry(d, int(cell), face, face_points);
      const Eigen::Vector3d face_low = g.places.colwise().minCoeff().transpose().array() - 1e-4,
                            face_high = g.places.colwise().maxCoeff().transpose().array() + 1e-4;
      near.boxes.clear();
      for (const Locator::Box &box : locator.boxes)
        if ((box.low.array() <= face_high.array()).all() && (box.high.array() >= face_low.array()).all())
          near.boxes.push_back(box);
      Eigen::MatrixXd u(g.values.rows(), Eigen::Index(walls.size()));  // along the area vector, out of the wood
      u.setZero();
      for (std::size_t k = 0; k < walls.size(); ++k)
        for (int axis = 0; axis < 3; ++axis) {
          Eigen::VectorXd at_nodes(nodes.size());
          for (std::size_t a = 0; a < nodes.size(); ++a) at_nodes[Eigen::Index(a)] = walls[k](nodes[a], axis);
          u.col(Eigen::Index(k)) += (g.values * at_nodes).cwiseProduct(g.area.col(axis));
        }
      for (int q = 0; q < g.values.rows(); ++q) {
        const Eigen::Vector3d normal = g.area.row(q).normalized();
        const auto found = near.find(Eigen::Vector3d(g.places.row(q)) + off * normal, tolerance);
        if (!found) continue;
        if (area) *area += g.area.row(q).norm();
        const Eigen::VectorXd values = shape_values(ad, found->xi);
        const std::vector<int> &air_nodes = ad.cells[found->cell];
        for (std::size_t a = 0; a < air_nodes.size(); ++a)  // out of the air is into the wood
          W.row(air_nodes[a]) -= values[Eigen::Index(a)] * u.row(q);
      }
    }
  }
  return W;
}

Eigen::MatrixXd wall_residual(const InsideField &air, const Eigen::MatrixXd &W) {
  if (W.cols() == 0) return Eigen::MatrixXd(0, 0);
  const Eigen::MatrixXd y = static_fields(air, W);
  Eigen::MatrixXd R = W.transpose() * y;
  const auto near = air.shapes.cols() - air.standing;
  const Eigen::MatrixXd C = air.shapes.rightCols(near).transpose() * W;
  R -= C.transpose() * air.squares.tail(near).cwiseInverse().asDiagonal() * C;
  return (R + R.transpose()) / 2;
}

Eigen::VectorXd mouth_mean(const InsideField &air, const Mouth &mouth) {
  const Discretisation &d = air.discretisation;
  const Locator locator(air.mesh.mesh, d, 0);
  Eigen::VectorXd b = Eigen::VectorXd::Zero(d.points.rows());
  // A sheet on the inside covers a closed cut-out, and its edge may end within an element.
  constexpr double depths[] = {into_air, 0.001, 0.002, 0.004, 0.008, 0.016, 0.032};
  const auto add = [&](double x, double y, double weight) {
    const Eigen::Vector3d at = mouth.centre + x * mouth.u + y * mouth.v;
    std::optional<Located> found;
    for (double depth : depths)
      if (!found) found = locator.find(at - depth * mouth.outwards);
    if (!found) throw SolveError("the mouth of \"" + mouth.name + "\" is not in the air inside");
    const Eigen::VectorXd values = shape_values(d, found->xi);
    for (std::size_t a = 0; a < d.cells[found->cell].size(); ++a)
      b[d.cells[found->cell][a]] += weight * values[Eigen::Index(a)];
  };
  const GaussRule rule = gauss_legendre(12);
  if (mouth.is_round) {
    constexpr int turns = 48;
    for (int i = 0; i < rule.point.size(); ++i)
      for (int k = 0; k < turns; ++k) {
        const double r = mouth.width / 2 * std::sqrt((1 + rule.point[i]) / 2), angle = 2 * M_PI * (k + 0.5) / turns;
        add(r * std::cos(angle), r * std::sin(angle), rule.weight[i] / 2 / turns);
      }
  } else {
    for (int i = 0; i < rule.point.size(); ++i)
      for (int j = 0; j < rule.point.size(); ++j)
        add(mouth.width / 2 * rule.point[i], mouth.height / 2 * rule.point[j], rule.weight[i] * rule.weight[j] / 4);
  }
  return b;
}

Eigen::VectorXd rim_motion(const Model &wood, const NodeShapes &walls, const Mouth &mouth) {
  const Discretisation &d = wood.discretisation;
  Eigen::VectorXd sum = Eigen::VectorXd::Zero(Eigen::Index(walls.size()));
  double area = 0;
  for (const auto &rim : d.rims) {
    if (rim.board != mouth.board || rim.cut_out != mouth.cut_out) continue;
    for (const auto &[cell, face] : rim.faces) {
      const FaceGeometry g = face_geometry(d, cell, face, d.degree + 1);
      const Eigen::VectorXd weights = g.area.rowwise().norm();
      area += weights.sum();
      const Eigen::VectorXd at_nodes = g.values.transpose() * weights;
      for (std::size_t k = 0; k < walls.size(); ++k)
        for (std::size_t a = 0; a < d.cells[cell].size(); ++a)
          sum[Eigen::Index(k)] += at_nodes[Eigen::Index(a)] * walls[k].row(d.cells[cell][a]).dot(mouth.outwards);
    }
  }
  return area > 0 ? Eigen::VectorXd(sum / area) : sum;
}

}  // namespace stillbox
