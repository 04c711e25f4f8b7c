// SPDX-License-Identifier: MIT
#include "solver/free_motions.h"

#include <algorithm>
#include <vector>

#include "solver/lapack.h"

namespace stillbox {

Eigen::MatrixXd free_motions(const Eigen::MatrixXd &Z, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M,
                             const std::function<Eigen::VectorXd(const Eigen::MatrixXd &)> &terms, double &small) {
  // A motion that the supports suppress wholly has neither mass nor stiffness; it must not count as free.
  std::vector<int> moving;
  for (int i = 0; i < 6; ++i)
    if (M(i, i) > 1e-12 * M.diagonal().maxCoeff()) moving.push_back(i);
  const int n = int(moving.size());
  Eigen::MatrixXd k(n, n), mm(n, n), z(Z.rows(), n);
  for (int i = 0; i < n; ++i) {
    z.col(i) = Z.col(moving[i]);
    for (int j = 0; j < n; ++j) {
      k(i, j) = K(moving[i], moving[j]);
      mm(i, j) = M(moving[i], moving[j]);
    }
  }
  const SymmetricPairs solver = symmetric_eigenpairs(k, mm);
  const Eigen::MatrixXd motions = z * solver.vectors;
  small = std::max(small, 1e-13 * terms(motions.cwiseAbs()).maxCoeff());
  int free = 0;
  while (free < n && std::abs(solver.values[free]) < small) ++free;
  return z * solver.vectors.leftCols(free);
}

void settle_signs(Eigen::MatrixXd &shapes) {
  if (shapes.rows() == 0) return;
  for (Eigen::Index i = 0; i < shapes.cols(); ++i) {
    const double enough = 0.999 * shapes.col(i).cwiseAbs().maxCoeff();
    Eigen::Index first = 0;
    while (first + 1 < shapes.rows() && std::abs(shapes(first, i)) < enough) ++first;
    if (shapes(first, i) < 0) shapes.col(i) *= -1;
  }
}

}  // namespace stillbox
