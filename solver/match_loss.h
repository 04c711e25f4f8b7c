// SPDX-License-Identifier: MIT
#pragma once
#include "solver/match_fit.h"

namespace stillbox {

/// Loss factors of modes as a linear function of those that are unknown: eta = known + share * losses, by the energy
/// method.
struct LossModel {
  Eigen::VectorXd known;  ///< modes
  Eigen::MatrixXd share;  ///< modes x unknowns: shares of the strain energy, 0 .. 1
};

/// Of a solved model. Materials tabled over frequency are taken at each mode's frequency.
/// Errors: std::domain_error outside their tables.
LossModel make_loss_model(const Model &model, const std::vector<LossUnknown> &unknowns, const Eigen::VectorXd &lambda,
                          const Eigen::MatrixXd &layer_strain, const Eigen::MatrixXd &bond_strain);

/// The loss factors within their bounds that fit the pairs best: minimum of sum of ((eta - heard) / sd)^2,
/// sd^2 = sd_heard^2 + (floor eta_heard)^2. Those of which no pair tells anything stay at their start.
struct LossFit {
  Eigen::VectorXd values;
  Eigen::VectorXi on_bound;
  FitQuality quality;  ///< relative to the values
  int used = 0;        ///< pairs with a heard loss factor
};
LossFit fit_losses(const LossModel &model, const std::vector<LossUnknown> &unknowns,
                   const std::vector<HeardFrequency> &heard, const std::vector<int> &column_of, double floor);

}  // namespace stillbox
