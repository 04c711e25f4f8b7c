// SPDX-License-Identifier: MIT
#include "solver/match_starts.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <set>
#include <stdexcept>

namespace stillbox {
namespace {

using Eigen::VectorXd;

constexpr int spread_starts = 60;

// The n-th point of the Halton sequence in one of the first dimensions, in 0 .. 1: evenly spread, the same every time.
double halton(int n, int dimension) {
  constexpr int primes[] = {2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37};
  const int base = primes[dimension % 12];
  double value = 0, digit = 1;
  for (; n > 0; n /= base) {
    digit /= base;
    value += digit * (n % base);
  }
  return value;
}

// The starts' ln factors, the case's own values first.
std::vector<VectorXd> starts_of(const MatchProblem &problem, double gate, const VectorXd &low, const VectorXd &high) {
  const int n = int(problem.unknowns.size());
  VectorXd reach(n), together = VectorXd::Zero(n), bonds = VectorXd::Zero(n);
  bool has_modulus = false;
  for (int k = 0; k < n; ++k) {
    const auto kind = problem.unknowns[k].kind;
    reach[k] = 2 * gate;  // f goes as the root
    if (kind == MatchUnknown::Kind::bond_stiffness) {
      bonds[k] = 1;
      reach[k] = 1.5 * std::log(10.0);
    } else if (kind != MatchUnknown::Kind::density) {
      together[k] = 1;
      has_modulus = true;
    }
  }
  if (!has_modulus)
    for (int k = 0; k < n; ++k)
      if (problem.unknowns[k].kind == MatchUnknown::Kind::density) together[k] = -1;
  std::vector<VectorXd> starts;
  const auto add = [&](const VectorXd &steps) {
    const VectorXd p = steps.cwiseProduct(reach).cwiseMax(low).cwiseMin(high);
    const bool is_known =
        std::any_of(starts.begin(), starts.end(), [&](const VectorXd &s) { return (s - p).norm() < 1e-9; });
    if (!is_known) starts.push_back(p);
  };
  add(VectorXd::Zero(n));
  for (int bond = -4; bond <= 4; ++bond)
    for (int step = -4; step <= 4; ++step) add(step / 4.0 * together + bond / 4.0 * bonds);
  for (int point = 1; n > 1 && point <= spread_starts; ++point) {
    VectorXd steps(n);
    for (int k = 0; k < n; ++k) steps[k] = 2 * halton(point, k) - 1;
    add(steps);
  }
  return starts;
}

// Paired but not fitted yet.
struct Start {
  VectorXd p;
  std::vector<int> column_of;
  double objective = 0, cost = 0;
};

std::vector<Start> paired_starts(const PairFitter &fitter) {
  std::vector<Start> starts;
  for (const VectorXd &p : starts_of(fitter.problem, fitter.options.gate, fitter.low, fitter.high)) {
    try {
      const Candidates c = fitter.candidates(reduced_modes(fitter.full.reduced, p));
      const Assignment a = best_assignment(pair_costs(fitter.problem.heard, c, fitter.options.gate), alone_costs);
      starts.push_back({p, a.column_of, fitter.objective(a.column_of, c), a.cost});
    } catch (const SolveError &) {
      // Too far from where the reduced model was made: no start at all.
    } catch (const std::domain_error &) {
    }
  }
  if (starts.empty()) throw SolveError("no start within the bounds can be solved; narrow the bounds of the unknowns");
  return starts;
}

// By the objective and by the assignment's cost in turn: the one knows near starts, the other far ones. The case's
// own values come first.
std::vector<std::size_t> in_order_of_promise(const std::vector<Start> &starts) {
  std::vector<std::size_t> by_objective(starts.size()), by_cost, order{0};
  std::iota(by_objective.begin(), by_objective.end(), 0);
  by_cost = by_objective;
  std::stable_sort(by_objective.begin(), by_objective.end(),
                   [&](std::size_t a, std::size_t b) { return starts[a].objective < starts[b].objective; });
  std::stable_sort(by_cost.begin(), by_cost.end(),
                   [&](std::size_t a, std::size_t b) { return starts[a].cost < starts[b].cost; });
  for (std::size_t i = 0; i < starts.size(); ++i) {
    order.push_back(by_objective[i]);
    order.push_back(by_cost[i]);
  }
  return order;
}

void note_other_pairs(const PairFitter &fitter, const std::vector<MatchRun> &runs, std::vector<std::string> &notes) {
  for (std::size_t i = 1; i < runs.size(); ++i)
    if (runs[i].column_of != runs[0].column_of && runs[i].objective < runs[0].objective + rival_below) {
      std::string text = "another set of pairs fits nearly as well (by the reduced model), with";
      for (int k = 0; k < runs[i].p.size(); ++k)
        text += (k ? ", " : " ") + fitter.problem.unknowns[k].name + " times " +
                std::to_string(std::exp(runs[i].p[k])).substr(0, 5);
      notes.push_back(text + "; tell which mode a heard frequency is, in the column mode, to choose");
      break;
    }
}

}  // namespace

MatchRun best_of_starts(const PairFitter &fitter, std::vector<std::string> &notes) {
  const std::vector<Start> starts = paired_starts(fitter);
  // Only the most promising ones, and no set of pairs twice, are worth a fit.
  const int fitted_starts = fitter.full.reduced.stiffness.rows() <= 120 ? 40 : 16;  // cheap while the basis is small
  std::vector<MatchRun> runs;
  std::set<std::vector<int>> tried;
  for (std::size_t s : in_order_of_promise(starts)) {
    const Start &start = starts[s];
    if (int(runs.size()) >= fitted_starts) break;
    if (!tried.insert(start.column_of).second) continue;
    try {
      runs.push_back(pair_and_fit(fitter, start.p, fitter.options.gate));
    } catch (const SolveError &) {
    } catch (const std::domain_error &) {
    }
  }
  if (runs.empty()) throw SolveError("no start within the bounds can be fitted; narrow the bounds of the unknowns");
  std::stable_sort(runs.begin(), runs.end(),
                   [](const MatchRun &a, const MatchRun &b) { return a.objective < b.objective - 1e-6; });
  note_other_pairs(fitter, runs, notes);
  return runs[0];
}

}  // namespace stillbox
