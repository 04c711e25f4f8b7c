// SPDX-License-Identifier: MIT
#include "solver/combined_columns.h"

#include <algorithm>
#include <cassert>

namespace stillbox {

void combine_in_place(Eigen::MatrixXd &x, Eigen::Index first, const Eigen::MatrixXd &C) {
  assert(first + C.rows() <= x.cols() && C.cols() <= x.cols());
  constexpr Eigen::Index at_once = 4096;
  for (Eigen::Index r = 0; r < x.rows(); r += at_once) {
    const Eigen::Index count = std::min(at_once, x.rows() - r);
    x.block(r, 0, count, C.cols()) = (x.block(r, first, count, C.rows()) * C).eval();
  }
  x.conservativeResize(Eigen::NoChange, C.cols());
}

}  // namespace stillbox
