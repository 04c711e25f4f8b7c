// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <functional>

namespace stillbox {

/// The motions that cost no energy: combinations of the three shifts and three rotations Z (unknowns x 6, of
/// whole_motions) that the supports allow; M-orthonormal columns. K = Z' K Z, M = Z' M Z. `terms` gives for columns a
/// the sums of |K_rc| |a_r| |a_c| over all entries, of which `small` is raised to the part that rounding leaves of K z:
/// stiff thin boards cancel large terms in it.
Eigen::MatrixXd free_motions(const Eigen::MatrixXd &Z, const Eigen::MatrixXd &K, const Eigen::MatrixXd &M,
                             const std::function<Eigen::VectorXd(const Eigen::MatrixXd &)> &terms, double &small);

/// A shape may be turned round: the first of its largest entries counts as positive. Those within a thousandth are as
/// large, so that rounding does not choose between two ends that move alike.
void settle_signs(Eigen::MatrixXd &shapes);

}  // namespace stillbox
