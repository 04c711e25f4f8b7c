// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

#include "solver/match_pairing.h"

namespace stillbox {

// Internal to match_frequencies: what is told about the answer.

/// The modes of the start, to compare the answer with.
struct MatchBefore {
  Eigen::VectorXd frequency;  ///< Hz
  Eigen::VectorXd loss;       ///< loss factors
};

/// Fills in all of `result` but the rounds, the agreement and the report of the solver, and adds to its notes. All is
/// of the full solution at the answer: `fitter.full` was made at run.p. `came_from`: the start's mode of each mode at
/// the answer, -1: none.
void describe_answer(const PairFitter &fitter, const MatchRun &run, const MatchBefore &before,
                     const std::vector<int> &came_from, MatchResult &result);

}  // namespace stillbox
