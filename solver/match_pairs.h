// SPDX-License-Identifier: MIT
#pragma once
#include "solver/match_fit.h"
#include "solver/pairing_by_frequency.h"

namespace stillbox {

// Internal to match_frequencies: which heard frequency is which computed mode.

/// The computed modes as pairing sees them.
struct Candidates {
  Eigen::VectorXd frequency;     ///< Hz
  Eigen::VectorXd loss;          ///< loss factors; 0: not known
  Eigen::VectorXd error;         ///< relative mesh error
  Eigen::MatrixXd wall_share;    ///< boards x modes: share in the kinetic energy
  std::vector<int> wall_boards;  ///< which boards the rows are
  std::vector<int> column_of;  ///< where each mode that a heard one is known to be is now; one per heard, -1: not known
};

/// Relative sd of a pair: heard, mesh error and floor together.
double pair_sd(const HeardFrequency &heard, double mesh_error, double floor);

/// Cost of a heard frequency that stays alone; a pair at the edge of the gate with nothing else against it costs 1.
constexpr double alone_costs = 1.5;

/// Another answer is nearly as good when its chi^2 is higher by less than this: within two standard deviations.
constexpr double rival_below = 4;

/// What speaks against a pair besides its frequencies: (1 - share)^2 where a wall was named, + up to 0.25 for loss
/// factors a factor of 2 apart.
double other_terms(const HeardFrequency &heard, const Candidates &modes, int mode);

/// (ln ratio / gate)^2, infinite beyond the gate, + (1 - share)^2 where a wall was named, + up to 0.25 for loss
/// factors a factor of 2 apart. A heard one that is known to be a mode goes with it whatever the gate.
Eigen::MatrixXd pair_costs(const std::vector<HeardFrequency> &heard, const Candidates &modes, double gate);

/// The same in units of chi^2: (ln ratio / sd)^2 and 9 times the other terms, within the gate.
Eigen::MatrixXd pair_chi_squared(const std::vector<HeardFrequency> &heard, const Candidates &modes, double gate,
                                 double floor);

/// The gate for the next pairing: three times what separates the pairs now (1.4826 times the median distance), not
/// below three sd, never wider than it was.
double next_gate(const std::vector<HeardFrequency> &heard, const Candidates &modes, const std::vector<int> &column_of,
                 double gate, double floor);

}  // namespace stillbox
