// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/fit_quality.h"
#include "solver/match_unknowns.h"
#include "solver/modes.h"

namespace stillbox {

/// A frequency that was heard or measured.
struct HeardFrequency {
  double frequency = 0;  ///< Hz, > 0
  double sd = 0;         ///< relative standard deviation, >= 0
  double loss = -1;      ///< loss factor; < 0: not given
  double loss_sd = 0;    ///< its standard deviation, absolute
  int mode = -1;         ///< index of the computed mode of the start that it is known to be; -1: to be found
  int board = -1;        ///< the board that was knocked or measured; -1: not said
};

/// A loss factor that is unknown: of a material, or of all bonds of a name.
struct LossUnknown {
  int material = -1;
  std::string bond, name;
  double start = 0, low = 0, high = 2;
};

struct MatchProblem {
  const Structure *start = nullptr;
  std::vector<MatchUnknown> unknowns;
  std::vector<LossUnknown> losses;
  std::vector<HeardFrequency> heard;
};

struct MatchOptions {
  SolveOptions solve;       ///< up_to must lie above all that was heard
  double gate = 0.15;       ///< no pair is further apart than this, in ln f
  double floor = 0.01;      ///< relative sd of a frequency for what the model leaves out
  double loss_floor = 0.1;  ///< the same of a loss factor
  int most_rounds = 6;      ///< full solutions after the first, at least 1
  double agreement = 1e-4;  ///< reduced and full frequencies of the pairs must agree to this
};

struct MatchedPair {
  int heard = 0;
  int mode = 0, start_mode = 0;  ///< indices of the mode at the answer and of the one it came from at the start
  double before = 0, after = 0;  ///< Hz
  double sd = 0;                 ///< relative: heard, mesh and floor together
  double mesh_error = 0;         ///< relative, at the answer
  double loss_before = 0, loss_after = 0, loss_sd = 0;
  bool has_rival = false;  ///< another assignment is nearly as good (chi^2 higher by less than 4)
  int rival = -1;          ///< the other mode, -1: none, the heard one being extra
  double rival_costs = 0;  ///< by how much chi^2 would grow
};

struct MatchRound {
  int pairs = 0;
  double chi_squared = 0;  ///< of the reduced model after the fit
  double difference = 0;   ///< largest |ln(reduced / full)| of the pairs at the factors of the fit
};

struct MatchResult {
  Eigen::VectorXd ln_factors;
  Eigen::VectorXi on_bound;
  FitQuality quality;  ///< of ln factors
  Eigen::VectorXd losses;
  Eigen::VectorXi losses_on_bound;
  FitQuality loss_quality;          ///< relative to the values found
  std::vector<MatchedPair> pairs;   ///< in the order of the heard frequencies
  std::vector<int> extra;           ///< heard, but paired with nothing
  std::vector<int> missed;          ///< computed modes up to the highest heard one that nothing was paired with
  Eigen::VectorXd before, after;    ///< Hz: all modes found at the start and at the answer
  std::vector<std::string> labels;  ///< of the modes at the answer
  std::vector<MatchRound> rounds;
  double chi_squared_before = 0;  ///< of the same pairs at the start
  double last_gate = 0;
  bool agrees = false;  ///< the last round's difference is below the agreement asked for
  std::vector<std::string> notes;
  SolveReport report;
};

/// Finds the factors within their bounds that bring the computed frequencies closest to the heard ones,
///   minimum of sum over pairs of (ln(f / f_heard) / sd)^2, sd^2 = sd_heard^2 + mesh error^2 + floor^2,
/// and, apart from that, the loss factors (linear: eta = sum over materials and bonds of their share of the strain
/// energy times their loss factor). Pairs are the assignment of least sum of (ln ratio / gate)^2 plus terms for walls
/// and loss factors; they are made anew after each fit, with a gate that closes as the fit improves, until they stay;
/// several starts guard against a shift by one mode. All this on a reduced model (match_model.h), which is made anew by
/// a full solution at the answer until both agree. The mesh stays that of the start.
/// Errors: CaseError when a heard one is said to be a mode that is not found; SolveError also when no pair is found;
/// std::domain_error from tables of moduli.
MatchResult match_frequencies(const MatchProblem &problem, const MatchOptions &options);

}  // namespace stillbox
