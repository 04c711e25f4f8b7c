// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <limits>
#include <vector>

#include "solver/match_fitter.h"

namespace stillbox {

// Internal to match_frequencies: pairing and fitting in turn on one reduced model.

/// Where pairing and fitting have led to.
struct MatchRun {
  Eigen::VectorXd p;           ///< ln factors
  std::vector<int> column_of;  ///< mode of each heard frequency at p, -1 where it stays alone
  BoundedFit fit;
  double objective = std::numeric_limits<double>::infinity();  ///< see PairFitter::objective
  double gate = 0;                                             ///< for the next pairing, in ln f
  bool cycled = false;                                         ///< the pairs did not settle; these are the best of them
};

/// Fits from run.p with these pairs, which are made there, and sets all of `run` but `cycled`; the gate only closes.
/// What the data do not see stays as the case says it: of fits that are as good (sum of squares within 1e-6) the one
/// nearest to factors of 1 is taken. Errors: as reduced_modes.
void take_pairs(const PairFitter &fitter, const std::vector<int> &column_of, MatchRun &run);

/// Pairs and fits in turn, from ln factors `start` and a gate, until the pairs and the gate stay. Pairs that come back
/// after others have been in between would go round for ever: then the best of all is kept. Errors: as reduced_modes.
MatchRun pair_and_fit(const PairFitter &fitter, const Eigen::VectorXd &start, double gate);

}  // namespace stillbox
