// SPDX-License-Identifier: MIT
#include "solver/match_pairing.h"
#include "solver/lapack.h"

#include <Eigen/Eigenvalues>
#include <cmath>
#include <set>

namespace stillbox {
namespace {

using Eigen::VectorXd;

// The same fit, less its part along null directions of J, unless that is out of bounds.
VectorXd nearest_to_start(const BoundedFit &fit, const VectorXd &low, const VectorXd &high) {
  if (fit.jacobian.size() == 0) return fit.x;
  const SymmetricPairs solver = symmetric_eigenpairs(fit.jacobian.transpose() * fit.jacobian);
  VectorXd x = fit.x;
  for (int k = 0; k < x.size(); ++k)
    if (solver.values[k] < 1e-10 * solver.values.maxCoeff())
      x -= solver.vectors.col(k) * solver.vectors.col(k).dot(fit.x);
  return (x.array() >= low.array()).all() && (x.array() <= high.array()).all() ? x : fit.x;
}

}  // namespace

void take_pairs(const PairFitter &fitter, const std::vector<int> &column_of, MatchRun &run) {
  run.column_of = column_of;
  run.fit = fitter.fit(run.column_of, run.p);
  const VectorXd nearest = nearest_to_start(run.fit, fitter.low, fitter.high);
  if ((nearest - run.fit.x).norm() > 1e-6) {
    std::vector<int> there = run.column_of;
    const BoundedFit moved = fitter.fit_from(run.fit.x, there, nearest);
    if (moved.sum_of_squares < run.fit.sum_of_squares + 1e-6) {
      run.fit = moved;
      run.column_of = there;
    }
  }
  run.p = run.fit.x;
  const Candidates after = fitter.candidates(reduced_modes(fitter.full.reduced, run.p));
  run.objective = fitter.objective(run.column_of, after);
  run.gate = next_gate(fitter.problem.heard, after, run.column_of, run.gate, fitter.options.floor);
}

MatchRun pair_and_fit(const PairFitter &fitter, const VectorXd &start, double gate) {
  MatchRun best, now;
  now.p = start;
  now.gate = gate;
  std::set<std::vector<long>> seen;  // pairs, and where they were made
  for (int turn = 0; turn < 20; ++turn) {
    const Candidates c = fitter.candidates(reduced_modes(fitter.full.reduced, now.p));
    const Assignment a = best_assignment(pair_costs(fitter.problem.heard, c, now.gate), alone_costs);
    const double next = next_gate(fitter.problem.heard, c, a.column_of, now.gate, fitter.options.floor);
    if (turn > 0 && a.column_of == now.column_of) {
      if (next > 0.98 * now.gate) return now;
    } else {
      std::vector<long> key(a.column_of.begin(), a.column_of.end());
      for (double x : now.p) key.push_back(std::lround(1e5 * x));
      if (!seen.insert(key).second) {
        best.cycled = true;
        return best;
      }
    }
    take_pairs(fitter, a.column_of, now);
    if (now.objective < best.objective) best = now;
  }
  best.cycled = true;
  return best;
}

}  // namespace stillbox
