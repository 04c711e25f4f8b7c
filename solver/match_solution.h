// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

#include "solver/match_fit.h"
#include "solver/match_loss.h"
#include "solver/match_model.h"
#include "solver/modes.h"

namespace stillbox {

// Internal to match_frequencies: full solutions at given factors, and what the fit needs of them.

/// The model with the mesh of the start and the factors of the moment. `model` points to `structure`: not to be copied
/// or moved once it was solved.
struct WholeModel {
  Structure structure;
  Model model;
};

/// A full solution and what is made from it. The reduced model has n base vectors, the modes found being the first of
/// them.
struct FullSolution {
  ReducedModel reduced;
  Eigen::VectorXd ratio;  ///< n: damped over real frequency, where materials are tabled over frequency; 1 elsewhere
  Eigen::VectorXd error;  ///< n: relative mesh error; beyond the modes found that of the last one, as with the ratio
  LossModel loss;         ///< of the modes found
  std::vector<std::string> labels;  ///< of the modes found
  std::vector<int> boards;          ///< of the walls that were named, increasing

  int modes() const { return int(reduced.lambda.size()); }  ///< how many were found, 1 .. n
  Eigen::VectorXd hertz() const;                            ///< their frequencies, sqrt(lambda) / (2 pi) times ratio
};

/// Solves with the unknowns at `ln_factors` (one per unknown, 0 is the start). `modes_of_others` (each unknowns of the
/// mesh x modes) join the basis of the reduced model; the modes of this solution are put in front of them for the next
/// one, and the oldest are dropped beyond three sets.
/// Errors: SolveError, also when there is no mode up to the top frequency; std::domain_error from tables and from
/// constants that do not fit together.
FullSolution solve_full(WholeModel &whole, const MatchProblem &problem, const MatchOptions &options,
                        const Eigen::VectorXd &ln_factors, std::vector<Eigen::MatrixXd> &modes_of_others,
                        SolveReport &report);

/// Modes with all unknown bonds ten times softer and ten times stiffer than at the start, as far as the bounds `low`
/// and `high` of the ln factors allow; none when no bond is unknown. Bonds may be off by decades, and their modes at
/// the start say little about that. Errors: as solve_full.
std::vector<Eigen::MatrixXd> modes_of_other_bonds(WholeModel &whole, const MatchProblem &problem,
                                                  const MatchOptions &options, const Eigen::VectorXd &low,
                                                  const Eigen::VectorXd &high, SolveReport &report);

}  // namespace stillbox
