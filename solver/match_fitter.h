// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/bounded_fit.h"
#include "solver/match_pairs.h"
#include "solver/match_solution.h"

namespace stillbox {

// Internal to match_frequencies: the fit with given pairs on the reduced model, and how good pairs are.
// `column_of` is always the mode of each heard frequency, -1 where it stays alone.

/// The mode of the reduced problem that base mode k has become: the one it has the largest part in.
int place_of_base_mode(const ReducedModes &modes, int k);

/// The base mode, among the first `base_modes`, that mode j of the reduced problem comes from: its largest part.
int base_mode_of(const ReducedModes &modes, int j, int base_modes);

/// What a fit is made with in one round; what it refers to must outlive it.
struct PairFitter {
  const MatchProblem &problem;
  const MatchOptions &options;
  const FullSolution &full;
  std::vector<int> known;     ///< base mode of each heard one that is known to be one, -1 otherwise
  Eigen::VectorXd low, high;  ///< bounds of ln factors
  Eigen::VectorXd losses;     ///< of the moment, one per unknown loss factor

  /// The modes as pairing sees them. Loss factors are exact where the reduced model was made; between modes that mix
  /// they are their mean.
  Candidates candidates(const ReducedModes &modes) const;

  /// Residuals r = ln(f / f_heard) / sd of given pairs, in the order of the heard ones, and their slopes J (pairs x
  /// unknowns) by the ln factors.
  void residuals(const std::vector<int> &column_of, const ReducedModes &modes, Eigen::VectorXd &r,
                 Eigen::MatrixXd &J) const;

  /// Fits within the bounds, with the pairs held. The pairs are those at `at`, the fit starts at `p` (both ln factors).
  /// A pair means a mode, which is followed by its shape where modes cross; `column_of` is then where it has gone.
  /// Errors: as reduced_modes.
  BoundedFit fit_from(const Eigen::VectorXd &at, std::vector<int> &column_of, const Eigen::VectorXd &p) const;

  /// The same, started where the pairs were made.
  BoundedFit fit(std::vector<int> &column_of, const Eigen::VectorXd &p) const { return fit_from(p, column_of, p); }

  /// How far apart the pairs are for their sd: 1.4826 times the median of |z|, at least 1. A model that is off
  /// everywhere loses no pairs for it.
  double spread(const std::vector<int> &column_of, const Candidates &c) const;

  /// chi^2 that a heard frequency counts for when it stays alone: (4 spread)^2.
  double alone_chi_squared(const std::vector<int> &column_of, const Candidates &c) const;

  /// For comparing starts, in units of chi^2: large residuals (9 ln(1 + (z / 3)^2)) and what stays alone count less
  /// than their square, missed modes between the heard ones 0.5 each.
  double objective(const std::vector<int> &column_of, const Candidates &c) const;
};

}  // namespace stillbox
