// SPDX-License-Identifier: MIT
#include "solver/match_fitter.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace stillbox {
namespace {

using Eigen::VectorXd;

constexpr double robust_from = 3;     // sd: beyond it a pair weighs less when starts are compared
constexpr double alone_from = 4;      // sd: what a heard frequency that is paired with nothing counts for
constexpr double missed_costs = 0.5;  // chi^2 per computed mode among the heard ones that nothing is paired with

// Where the modes with the columns of `shapes` have gone: each to another one, by the largest sum of squared
// overlaps.
std::vector<int> followed(const Eigen::MatrixXd &shapes, const ReducedModes &modes) {
  const Eigen::MatrixXd overlap = (shapes.transpose() * modes.vectors).cwiseAbs2();
  return best_assignment(-overlap, 1).column_of;
}

}  // namespace

int place_of_base_mode(const ReducedModes &modes, int k) {
  Eigen::Index j = 0;
  modes.vectors.row(k).cwiseAbs().maxCoeff(&j);
  return int(j);
}

int base_mode_of(const ReducedModes &modes, int j, int base_modes) {
  Eigen::Index k = 0;
  modes.vectors.col(j).head(base_modes).cwiseAbs().maxCoeff(&k);
  return int(k);
}

Candidates PairFitter::candidates(const ReducedModes &modes) const {
  Candidates c;
  c.frequency = modes.frequency.cwiseProduct(full.ratio);
  c.error = full.error;
  c.wall_share = wall_shares(full.reduced, modes);
  c.wall_boards = full.boards;
  const VectorXd base = full.loss.known + full.loss.share * losses;
  const Eigen::MatrixXd weight = modes.vectors.topRows(base.size()).cwiseAbs2();
  c.loss = (weight.transpose() * base).cwiseQuotient(weight.colwise().sum().transpose());
  for (int k : known) c.column_of.push_back(k < 0 ? -1 : place_of_base_mode(modes, k));
  return c;
}

void PairFitter::residuals(const std::vector<int> &column_of, const ReducedModes &modes, VectorXd &r,
                           Eigen::MatrixXd &J) const {
  const long pairs = std::count_if(column_of.begin(), column_of.end(), [](int c) { return c >= 0; });
  r.resize(pairs);
  J.resize(pairs, modes.slope.cols());
  int row = 0;
  for (std::size_t i = 0; i < column_of.size(); ++i) {
    const int j = column_of[i];
    if (j < 0) continue;
    const double sd = pair_sd(problem.heard[i], full.error[j], options.floor);
    r[row] = std::log(modes.frequency[j] * full.ratio[j] / problem.heard[i].frequency) / sd;
    J.row(row++) = modes.slope.row(j) / sd;
  }
}

BoundedFit PairFitter::fit_from(const VectorXd &at, std::vector<int> &column_of, const VectorXd &p) const {
  const ReducedModes here = reduced_modes(full.reduced, at);
  std::vector<int> rows, columns;
  for (std::size_t i = 0; i < column_of.size(); ++i)
    if (column_of[i] >= 0) {
      rows.push_back(int(i));
      columns.push_back(column_of[i]);
    }
  Eigen::MatrixXd shapes(here.vectors.rows(), columns.size());
  for (std::size_t a = 0; a < columns.size(); ++a) shapes.col(a) = here.vectors.col(columns[a]);
  const auto place = [&](const ReducedModes &modes) {
    std::vector<int> now(column_of.size(), -1);
    const std::vector<int> gone = followed(shapes, modes);
    for (std::size_t a = 0; a < rows.size(); ++a) now[rows[a]] = gone[a];
    return now;
  };
  BoundedFitOptions fit_options;
  fit_options.step_tolerance = 1e-9;
  const BoundedFit found = bounded_fit(
      [&](const VectorXd &x, VectorXd &r, Eigen::MatrixXd &J) {
        const ReducedModes modes = reduced_modes(full.reduced, x);
        residuals(place(modes), modes, r, J);
      },
      p, low, high, fit_options);
  column_of = place(reduced_modes(full.reduced, found.x));
  return found;
}

double PairFitter::spread(const std::vector<int> &column_of, const Candidates &c) const {
  std::vector<double> z;
  for (std::size_t i = 0; i < column_of.size(); ++i)
    if (column_of[i] >= 0)
      z.push_back(std::abs(std::log(c.frequency[column_of[i]] / problem.heard[i].frequency)) /
                  pair_sd(problem.heard[i], c.error[column_of[i]], options.floor));
  if (z.empty()) return 1;
  std::nth_element(z.begin(), z.begin() + long(z.size() / 2), z.end());
  return std::max(1.0, 1.4826 * z[z.size() / 2]);
}

double PairFitter::alone_chi_squared(const std::vector<int> &column_of, const Candidates &c) const {
  return std::pow(alone_from * spread(column_of, c), 2);
}

double PairFitter::objective(const std::vector<int> &column_of, const Candidates &c) const {
  const auto robust = [](double z) { return robust_from * robust_from * std::log1p(std::pow(z / robust_from, 2)); };
  const double alone = alone_from * spread(column_of, c);
  double sum = 0, highest = 0, lowest = 1e30;
  std::set<int> taken;
  for (std::size_t i = 0; i < column_of.size(); ++i) {
    const HeardFrequency &h = problem.heard[i];
    highest = std::max(highest, h.frequency);
    lowest = std::min(lowest, h.frequency);
    const int j = column_of[i];
    taken.insert(j);
    if (j >= 0 && known[i] < 0) sum += 9 * other_terms(h, c, j);
    sum += robust(j < 0 ? alone : std::log(c.frequency[j] / h.frequency) / pair_sd(h, c.error[j], options.floor));
  }
  for (int j = 0; j < c.frequency.size(); ++j)
    if (!taken.count(j) && c.frequency[j] > lowest && c.frequency[j] < highest) sum += missed_costs;
  return sum;
}

}  // namespace stillbox
