// SPDX-License-Identifier: MIT
#include "solver/outside_patterns.h"
#include "solver/lapack.h"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace stillbox {
namespace {

constexpr double least_part = 1e-4;

// Orthonormal columns (over the weights' squares) that span the rows of one wall.
Eigen::MatrixXd wall_basis(const Eigen::MatrixXd &rows) {
  const SymmetricPairs gram = symmetric_eigenpairs(rows.transpose() * rows);
  const int count = int(rows.cols());
  int first = 0;
  while (first < count && gram.values[first] < least_part * least_part) ++first;
  const Eigen::VectorXd size = gram.values.tail(count - first).cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
  return rows * gram.vectors.rightCols(count - first) * size.asDiagonal();
}

}  // namespace

OutsidePatterns make_outside_patterns(const SurfaceMesh &mesh, const Structure &s, const Eigen::MatrixXd &wood,
                                      const std::vector<std::pair<int, int>> &cut_outs, const Eigen::MatrixXd &rims,
                                      const std::vector<OutsidePiston> &pistons) {
  const int elements = int(mesh.elements.size()), shapes = int(wood.cols()), free = int(pistons.size());
  OutsidePatterns p;
  p.mesh = mesh;
  p.pistons = Eigen::MatrixXd::Zero(elements, free);
  Eigen::VectorXd wood_share = Eigen::VectorXd::Ones(elements);
  p.shapes = Eigen::MatrixXd::Zero(elements, shapes);
  for (std::size_t c = 0; c < cut_outs.size(); ++c) {
    const auto &[wall, index] = cut_outs[c];
    const Eigen::VectorXd share = cut_out_shares(mesh, s, wall, index);
    wood_share -= share;
    const double area = share.dot(mesh.areas);
    double rest = 1;
    for (int d = 0; d < free; ++d) {
      if (pistons[d].wall != wall || pistons[d].cut_out != index || area <= 0) continue;
      p.pistons.col(d) = share * (pistons[d].area / area);
      rest -= pistons[d].area / area;
    }
    p.shapes += rest * share * rims.row(c);
  }
  p.shapes += wood_share.cwiseMax(0.0).asDiagonal() * wood;

  // Shapes of size 1 over the whole box, so that one part of a shape is negligible on every wall alike.
  const Eigen::VectorXd root_area = (mesh.areas / mesh.areas.sum()).cwiseSqrt();
  const Eigen::VectorXd size = (root_area.asDiagonal() * p.shapes).colwise().norm().cwiseMax(1e-300);
  const Eigen::MatrixXd scaled = root_area.asDiagonal() * p.shapes * size.cwiseInverse().asDiagonal();
  const int walls = mesh.wall.empty() ? 0 : *std::max_element(mesh.wall.begin(), mesh.wall.end()) + 1;
  std::vector<Eigen::MatrixXd> bases(static_cast<std::size_t>(walls));
  int patterns = free;
  for (int w = 0; w < walls; ++w) {
    // With the wall's even motion among them what is left over moves no air on the whole.
    Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(elements, shapes + 1);
    bool any = false;
    for (int e = 0; e < elements; ++e)
      if (mesh.wall[e] == w) {
        rows.row(e) << scaled.row(e), root_area[e];
        any = any || scaled.row(e).cwiseAbs().maxCoeff() > 0;
      }
    if (!any) continue;
    bases[w] = wall_basis(rows);
    patterns += int(bases[w].cols());
  }
  p.basis.resize(elements, patterns);
  p.map = Eigen::MatrixXd::Zero(patterns, shapes + free);
  int at = 0;
  for (int w = 0; w < walls; ++w) {
    const int n = int(bases[w].cols());
    p.basis.middleCols(at, n) = root_area.cwiseInverse().asDiagonal() * bases[w];
    p.map.block(at, 0, n, shapes) = bases[w].transpose() * scaled * size.asDiagonal();
    p.basis_wall.insert(p.basis_wall.end(), n, w);
    at += n;
  }
  p.basis.rightCols(free) = p.pistons;
  p.map.bottomRightCorner(free, free).setIdentity();
  p.basis_wall.insert(p.basis_wall.end(), free, -1);
  return p;
}

}  // namespace stillbox
