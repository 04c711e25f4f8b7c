// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// x becomes x_f C, x_f its columns from `first` on, as many as C has rows; C has no more columns than x. In place, a
/// few rows at a time, as a second set of such columns would be one of the largest things in memory.
void combine_in_place(Eigen::MatrixXd &x, Eigen::Index first, const Eigen::MatrixXd &C);

}  // namespace stillbox
