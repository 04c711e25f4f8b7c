// SPDX-License-Identifier: MIT
#include "solver/match_result.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

namespace stillbox {
namespace {

using Eigen::VectorXd;

// Where another assignment is nearly as good.
void state_rivals(const PairFitter &fitter, const std::vector<int> &column_of, const Candidates &c,
                  std::vector<MatchedPair> &pairs) {
  const Eigen::MatrixXd table = pair_chi_squared(fitter.problem.heard, c, fitter.options.gate, fitter.options.floor);
  const double alone = fitter.alone_chi_squared(column_of, c);
  const Assignment best = best_assignment(table, alone);
  for (MatchedPair &pair : pairs) {
    if (fitter.known[pair.heard] >= 0) continue;
    const int other = best.column_of[pair.heard];
    const bool prefers_other = other != pair.mode;
    const Assignment rival = prefers_other ? best : best_assignment_without(table, alone, best, pair.heard);
    const double costs = prefers_other ? 0 : rival.cost - best.cost;
    if (!(costs < rival_below)) continue;
    pair.has_rival = true;
    pair.rival = rival.column_of[pair.heard];
    pair.rival_costs = costs;
  }
}

// Pairs, and what is left over on both sides.
void state_pairs(const PairFitter &fitter, const std::vector<int> &column_of, const Candidates &c,
                 const MatchBefore &before, const std::vector<int> &came_from, MatchResult &result) {
  const VectorXd loss_after = fitter.full.loss.known + fitter.full.loss.share * result.losses;
  std::set<int> taken;
  double highest = 0;
  for (std::size_t i = 0; i < fitter.problem.heard.size(); ++i) {
    const HeardFrequency &h = fitter.problem.heard[i];
    highest = std::max(highest, h.frequency);
    const int j = column_of[i];
    if (j < 0) {
      result.extra.push_back(int(i));
      continue;
    }
    taken.insert(j);
    MatchedPair pair;
    pair.heard = int(i);
    pair.mode = j;
    pair.start_mode = came_from[j];
    pair.after = c.frequency[j];
    pair.before = pair.start_mode < 0 ? std::numeric_limits<double>::quiet_NaN() : before.frequency[pair.start_mode];
    pair.sd = pair_sd(h, fitter.full.error[j], fitter.options.floor);
    pair.mesh_error = fitter.full.error[j];
    pair.loss_after = loss_after[j];
    pair.loss_before = pair.start_mode < 0 ? std::numeric_limits<double>::quiet_NaN() : before.loss[pair.start_mode];
    pair.loss_sd = h.loss >= 0 ? std::hypot(h.loss_sd, fitter.options.loss_floor * h.loss) : 0;
    if (pair.start_mode >= 0) result.chi_squared_before += std::pow(std::log(pair.before / h.frequency) / pair.sd, 2);
    result.pairs.push_back(pair);
  }
  for (int j = 0; j < c.frequency.size(); ++j)
    if (!taken.count(j) && c.frequency[j] <= highest) result.missed.push_back(j);
}

void note_doubts(const PairFitter &fitter, MatchResult &result) {
  int coarse = 0;
  for (const MatchedPair &pair : result.pairs) coarse += pair.mesh_error > std::max(0.02, 2 * fitter.options.floor);
  if (coarse > 0)
    result.notes.push_back("the mesh is too coarse for " + std::to_string(coarse) +
                           " of the pairs (estimated error above 2 % or twice the floor): raise --fineness or --up-to "
                           "before trusting them");
  const std::size_t heard = fitter.problem.heard.size(), extra = result.extra.size();
  if ((extra > 1 && 5 * extra >= heard) || result.missed.size() > result.pairs.size())
    result.notes.push_back(std::to_string(extra) + " of " + std::to_string(heard) +
                           " heard frequencies are without a "
                           "mode and " +
                           std::to_string(result.missed.size()) +
                           " modes were not heard: with so many "
                           "left over another set of pairs may be the right one, however well this one fits; tell some "
                           "in the columns mode or wall");
}

}  // namespace

void describe_answer(const PairFitter &fitter, const MatchRun &run, const MatchBefore &before,
                     const std::vector<int> &came_from, MatchResult &result) {
  const ReducedModes modes = reduced_modes(fitter.full.reduced, run.p);
  Candidates c = fitter.candidates(modes);
  c.frequency.conservativeResize(fitter.full.modes());  // above the top frequency they are not exact
  std::vector<int> column_of = run.column_of;
  for (int &j : column_of)
    if (j >= fitter.full.modes()) j = -1;
  VectorXd r;
  Eigen::MatrixXd J;
  fitter.residuals(column_of, modes, r, J);
  result.ln_factors = run.p;
  result.on_bound = run.fit.on_bound;
  result.quality = judge_fit(J, r, result.on_bound, fitter.high - fitter.low);
  const LossFit loss_fit =
      fit_losses(fitter.full.loss, fitter.problem.losses, fitter.problem.heard, column_of, fitter.options.loss_floor);
  result.losses = loss_fit.values;
  result.losses_on_bound = loss_fit.on_bound;
  result.loss_quality = loss_fit.quality;
  result.before = before.frequency;
  result.after = c.frequency;
  result.labels = fitter.full.labels;
  result.last_gate = run.gate;
  state_pairs(fitter, column_of, c, before, came_from, result);
  note_doubts(fitter, result);
  state_rivals(fitter, column_of, c, result.pairs);
}

}  // namespace stillbox
