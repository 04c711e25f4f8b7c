// SPDX-License-Identifier: MIT
#include "solver/left_out_modes.h"
#include "solver/lapack.h"

namespace stillbox {

LeftOutModes left_out_modes(const Eigen::MatrixXd &R0, const Eigen::MatrixXd &R1) {
  // Points that coincide make R0 singular: only its sound directions are used.
  constexpr double sound = 1e-9;
  const int count = int(R0.rows());
  if (count == 0) return {};
  const SymmetricPairs flexibility = symmetric_eigenpairs((R0 + R0.transpose()) / 2);
  int first = 0;
  while (first < count && flexibility.values[first] <= sound * flexibility.values[count - 1]) ++first;
  const Eigen::MatrixXd T = flexibility.vectors.rightCols(count - first) *
                            flexibility.values.tail(count - first).cwiseSqrt().cwiseInverse().asDiagonal();
  const SymmetricPairs ritz = symmetric_eigenpairs(T.transpose() * ((R1 + R1.transpose()) / 2) * T);
  LeftOutModes result;
  result.lambda = ritz.values.cwiseInverse();
  // v with v' R0 v = 1 has v' R1 v = theta: over its root the shape is M-orthonormal.
  result.answers = T * ritz.vectors * result.lambda.cwiseSqrt().asDiagonal();
  return result;
}

}  // namespace stillbox
