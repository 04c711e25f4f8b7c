// SPDX-License-Identifier: MIT
#include "solver/match_fit.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "mesh/case_file.h"
#include "solver/match_result.h"
#include "solver/match_search.h"
#include "solver/match_starts.h"

namespace stillbox {
namespace {

using Eigen::VectorXd;

void check_known(const std::vector<int> &known, int modes, double up_to) {
  for (int mode : known)
    if (mode >= modes)
      throw CaseError("a heard frequency is said to be mode " + std::to_string(mode + 1) + ", but there are only " +
                      std::to_string(modes) + " up to " + std::to_string(int(up_to)) +
                      " Hz; correct the column mode, or raise --up-to");
}

long number_of_pairs(const std::vector<int> &column_of) {
  const long pairs = std::count_if(column_of.begin(), column_of.end(), [](int c) { return c >= 0; });
  if (pairs == 0)
    throw SolveError(
        "no heard frequency lies near enough to a computed mode; the case differs too much from what "
        "was heard: check its sizes and materials, widen --within, or widen --gate");
  return pairs;
}

// Largest |ln(reduced / full)| of the pairs; a mode that is no more found counts as far off.
double largest_difference(const std::vector<int> &column_of, const VectorXd &reduced, const VectorXd &full) {
  double largest = 0;
  for (int j : column_of)
    if (j >= 0) largest = std::max(largest, j < full.size() ? std::abs(std::log(reduced[j] / full[j])) : 1);
  return largest;
}

}  // namespace

MatchResult match_frequencies(const MatchProblem &problem, const MatchOptions &options) {
  const int n = int(problem.unknowns.size());
  MatchResult result;
  VectorXd p = VectorXd::Zero(n), low(n), high(n), losses(problem.losses.size());
  for (int k = 0; k < n; ++k) {
    low[k] = std::log(problem.unknowns[k].low);
    high[k] = std::log(problem.unknowns[k].high);
  }
  for (int k = 0; k < losses.size(); ++k) losses[k] = problem.losses[k].start;
  std::vector<int> known;
  for (const HeardFrequency &h : problem.heard) known.push_back(h.mode);

  WholeModel whole;
  whole.model = build_model(*problem.start, options.solve, result.report);
  std::vector<Eigen::MatrixXd> others = modes_of_other_bonds(whole, problem, options, low, high, result.report);
  FullSolution full = solve_full(whole, problem, options, p, others, result.report);
  const MatchBefore before{full.hertz(), full.loss.known + full.loss.share * losses};
  check_known(known, full.modes(), options.solve.up_to);
  std::vector<int> origin(full.modes());  // start mode of each mode of the moment
  std::iota(origin.begin(), origin.end(), 0);

  double gate = options.gate;
  MatchRun run;
  for (int round = 0; round < options.most_rounds; ++round) {
    const PairFitter fitter{problem, options, full, known, low, high, losses};
    if (options.solve.progress) options.solve.progress("fitting");
    run = with_better_pairs(fitter, round == 0 ? best_of_starts(fitter, result.notes) : pair_and_fit(fitter, p, gate));
    const long pairs = number_of_pairs(run.column_of);
    const ReducedModes modes = reduced_modes(full.reduced, run.p);
    const VectorXd predicted = fitter.candidates(modes).frequency;
    std::vector<int> came_from(modes.frequency.size());
    for (std::size_t j = 0; j < came_from.size(); ++j)
      came_from[j] = origin[base_mode_of(modes, int(j), int(origin.size()))];
    for (int &k : known)
      if (k >= 0) k = place_of_base_mode(modes, k);
    losses = fit_losses(full.loss, problem.losses, problem.heard, run.column_of, options.loss_floor).values;
    p = run.p;
    gate = std::min(options.gate, 1.5 * run.gate);

    full = solve_full(whole, problem, options, p, others, result.report);
    const VectorXd found = full.hertz();
    const double difference = largest_difference(run.column_of, predicted, found);
    result.rounds.push_back({int(pairs), run.fit.sum_of_squares, difference});
    if (run.cycled)
      result.notes.push_back("the pairs went round in circles in round " + std::to_string(round + 1) +
                             "; the best set was kept");
    origin.assign(found.size(), -1);
    for (std::size_t j = 0; j < origin.size() && j < came_from.size(); ++j) origin[j] = came_from[j];
    // A mode that the reduced model had in the pairs but the full one has no more up to the top frequency.
    for (int &k : known)
      if (k >= found.size()) k = int(found.size()) - 1;
    result.agrees = difference <= options.agreement;
    if (result.agrees) break;
  }
  describe_answer({problem, options, full, known, low, high, losses}, run, before, origin, result);
  return result;
}

}  // namespace stillbox
