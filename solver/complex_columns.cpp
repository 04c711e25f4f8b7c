// SPDX-License-Identifier: MIT
#include "solver/complex_columns.h"

#include "solver/combined_columns.h"

namespace stillbox {
namespace {

using Eigen::Index;
using Eigen::MatrixXcd;
using Eigen::MatrixXd;

// From the four products of real and imaginary parts, the first factor's imaginary parts taken `sign` times.
MatrixXcd product_of(const MatrixXd &x, const MatrixXd &y, double sign) {
  const MatrixXd all = x.transpose() * y;
  const Index rows = all.rows() / 2, columns = all.cols() / 2;
  MatrixXcd result(rows, columns);
  result.real() = all.topLeftCorner(rows, columns) - sign * all.bottomRightCorner(rows, columns);
  result.imag() = all.topRightCorner(rows, columns) + sign * all.bottomLeftCorner(rows, columns);
  return result;
}

}  // namespace

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

void set_columns(MatrixXd &parts, Index first, const MatrixXd &columns) {
  const Index count = columns.cols() / 2;
  parts.middleCols(first, count) = columns.leftCols(count);
  parts.middleCols(parts.cols() / 2 + first, count) = columns.rightCols(count);
}

MatrixXcd transposed_product(const MatrixXd &x, const MatrixXd &y) { return product_of(x, y, 1); }
MatrixXcd adjoint_product(const MatrixXd &x, const MatrixXd &y) { return product_of(x, y, -1); }

MatrixXd coefficients_of(const MatrixXcd &h) {
  MatrixXd C(2 * h.rows(), 2 * h.cols());
  C << h.real(), h.imag(), -h.imag(), h.real();
  return C;
}

void combine_columns(MatrixXd &x, const MatrixXcd &h) { combine_in_place(x, 0, coefficients_of(h)); }

MatrixXd scaled_columns(const MatrixXd &x, const Eigen::VectorXcd &factors) {
  const Index count = factors.size();
  const auto re = x.leftCols(count), im = x.rightCols(count);
  MatrixXd y(x.rows(), 2 * count);
  y.leftCols(count) = re * factors.real().asDiagonal() - im * factors.imag().asDiagonal();
  y.rightCols(count) = re * factors.imag().asDiagonal() + im * factors.real().asDiagonal();
  return y;
}

}  // namespace stillbox
