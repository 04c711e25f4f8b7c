// SPDX-License-Identifier: MIT
#include "solver/complex_columns.h"

namespace stillbox {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;

MatrixXd parts_of(const MatrixXcd &x) {
  MatrixXd parts(x.rows(), 2 * x.cols());
  parts << x.real(), x.imag();
  return parts;
}

MatrixXcd complex_of(const MatrixXd &parts) {
  const Index count = parts.cols() / 2;
  MatrixXcd x(parts.rows(), count);
  x.real() = parts.leftCols(count);
  x.imag() = parts.rightCols(count);
  return x;
}

MatrixXd some_columns(const MatrixXd &parts, Index first, Index count) {
  MatrixXd columns(parts.rows(), 2 * count);
  columns << parts.middleCols(first, count), parts.middleCols(parts.cols() / 2 + first, count);
  return columns;
}

MatrixXd scaled_columns(const MatrixXd &x, const Eigen::VectorXcd &factors) {
  const Index count = factors.size();
  const auto re = x.leftCols(count), im = x.rightCols(count);
  MatrixXd y(x.rows(), 2 * count);
  y.leftCols(count) = re * factors.real().asDiagonal() - im * factors.imag().asDiagonal();
  y.rightCols(count) = re * factors.imag().asDiagonal() + im * factors.real().asDiagonal();
  return y;
}

}  // namespace stillbox
