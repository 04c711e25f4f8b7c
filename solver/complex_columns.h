// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// k complex columns as 2 k real ones, the real parts first and then the imaginary ones: [Re x, Im x]. Products of real
/// matrices with them are then products of real matrices, without copies.
Eigen::MatrixXd parts_of(const Eigen::MatrixXcd &x);
Eigen::MatrixXcd complex_of(const Eigen::MatrixXd &parts);

/// `count` of the columns from `first` on.
Eigen::MatrixXd some_columns(const Eigen::MatrixXd &parts, Eigen::Index first, Eigen::Index count);

/// Columns times one complex number each.
Eigen::MatrixXd scaled_columns(const Eigen::MatrixXd &x, const Eigen::VectorXcd &factors);

}  // namespace stillbox
