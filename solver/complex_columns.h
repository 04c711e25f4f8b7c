// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>

namespace stillbox {

/// k complex columns as 2 k real ones, the real parts first and then the imaginary ones: [Re x, Im x]. Products of real
/// matrices with them are then products of real matrices, without copies.
Eigen::MatrixXd parts_of(const Eigen::MatrixXcd &x);
Eigen::MatrixXcd complex_of(const Eigen::MatrixXd &parts);

/// `count` of the columns from `first` on, and back.
Eigen::MatrixXd some_columns(const Eigen::MatrixXd &parts, Eigen::Index first, Eigen::Index count);
void set_columns(Eigen::MatrixXd &parts, Eigen::Index first, const Eigen::MatrixXd &columns);

/// x' y without conjugation, and x^H y.
Eigen::MatrixXcd transposed_product(const Eigen::MatrixXd &x, const Eigen::MatrixXd &y);
Eigen::MatrixXcd adjoint_product(const Eigen::MatrixXd &x, const Eigen::MatrixXd &y);

/// The real matrix C with [Re x h, Im x h] = [Re x, Im x] C.
Eigen::MatrixXd coefficients_of(const Eigen::MatrixXcd &h);

/// x becomes x h.
void combine_columns(Eigen::MatrixXd &x, const Eigen::MatrixXcd &h);

/// Columns times one complex number each.
Eigen::MatrixXd scaled_columns(const Eigen::MatrixXd &x, const Eigen::VectorXcd &factors);

}  // namespace stillbox
