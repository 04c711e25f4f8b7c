// SPDX-License-Identifier: MIT
#include "solver/match_search.h"

#include <algorithm>

namespace stillbox {
namespace {

// The best pairs at the run's factors where they are others than the run's, and for each heard frequency the best pairs
// in which it has another partner.
std::vector<std::vector<int>> next_best_pairs(const PairFitter &fitter, const MatchRun &run) {
  const Candidates c = fitter.candidates(reduced_modes(fitter.full.reduced, run.p));
  const Eigen::MatrixXd table = pair_chi_squared(fitter.problem.heard, c, fitter.options.gate, fitter.options.floor);
  const double alone = fitter.alone_chi_squared(run.column_of, c);
  const Assignment best = best_assignment(table, alone);
  std::vector<std::vector<int>> tries;
  if (best.column_of != run.column_of) tries.push_back(best.column_of);
  for (std::size_t i = 0; i < fitter.problem.heard.size(); ++i) {
    if (fitter.known[i] >= 0) continue;
    const Assignment rival = best_assignment_without(table, alone, best, int(i));
    if (rival.cost < best.cost + alone && std::find(tries.begin(), tries.end(), rival.column_of) == tries.end())
      tries.push_back(rival.column_of);
  }
  return tries;
}

}  // namespace

MatchRun with_better_pairs(const PairFitter &fitter, MatchRun run) {
  for (int turn = 0; turn < 10; ++turn) {
    MatchRun better = run;
    for (const std::vector<int> &pairs : next_best_pairs(fitter, run)) {
      MatchRun other = run;
      take_pairs(fitter, pairs, other);
      MatchRun settled = pair_and_fit(fitter, other.p, std::max(run.gate, other.gate));
      for (MatchRun *candidate : {&other, &settled})
        if (candidate->objective < better.objective - 1e-3) better = *candidate;
    }
    if (better.objective >= run.objective) break;
    run = better;
  }
  return run;
}

}  // namespace stillbox
