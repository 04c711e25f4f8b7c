// SPDX-License-Identifier: MIT
#include "solver/legendre.h"

#include <cmath>

namespace stillbox {

LegendreProducts legendre_products(int degree) {
  const Eigen::Index n = degree + 1;
  LegendreProducts result;
  result.values = Eigen::MatrixXd::Identity(n, n);
  // p_i' = sum over k = i-1, i-3, ... of (2k + 1) P_k: in terms of the scaled ones, sqrt((2i+1)(2k+1)).
  result.mixed = Eigen::MatrixXd::Zero(n, n);
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index k = i - 1; k >= 0; k -= 2)
      result.mixed(i, k) = std::sqrt((2.0 * double(i) + 1) * (2.0 * double(k) + 1));
  result.slopes = result.mixed * result.mixed.transpose();
  return result;
}

}  // namespace stillbox
