// SPDX-License-Identifier: MIT
#include "solver/damped_modes.h"

#include <algorithm>
#include <cmath>

#include "solver/combined_columns.h"
#include "solver/complex_columns.h"
#include "solver/damped_space.h"
#include "solver/freed_memory.h"
#include "solver/lapack.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// A mode on its way: where it is, the best so far, and how long that has stood.
struct Search {
  DampedPair now, best;
  double residual = 1e300;  // of the best
  int idle = 0;             // steps since that last halved
  int steps = 0;
  bool found = false;
};

// Judges a mode by its vector, of which there is column `i` in x and the residuals; false when it is found.
bool stays_open(const DampedProblem &p, const DampedOptions &options, const Eigen::MatrixXd &x,
                const DampedResiduals &residuals, std::size_t i, Search &search) {
  const double residual = residuals.norm[i];
  constexpr double most_rounding = 16;  // a row of K has a hundred terms and more, each rounded
  constexpr int patience = 2;
  search.idle = residual > 0.5 * search.residual ? search.idle + 1 : 0;
  if (residual < search.residual) {
    search.residual = residual;
    search.best = search.now;
  }
  search.found = search.residual <= options.tolerance;
  // Rounding shows in that the residual no longer falls.
  if (!search.found && search.idle >= patience)
    search.found = search.residual <= most_rounding * residuals.scale[i] *
                                          rounding_of(p, search.now, complex_of(some_columns(x, Eigen::Index(i), 1)));
  if (!search.found) ++search.steps;
  return !search.found;
}

// As few columns as hold each of those of r up to a rest of the norm `least`.
void compress(Eigen::MatrixXd &r, double least) {
  const SymmetricPairs turn = symmetric_eigenpairs(r.transpose() * r);
  Eigen::Index first = 0;
  while (first + 1 < turn.values.size() && turn.values[first] < least * least) ++first;
  combine_in_place(r, 0, turn.vectors.rightCols(turn.values.size() - first));
}

// Judges the modes that are not found yet and returns the corrections of those that stay open.
Eigen::MatrixXd corrections(const DampedSpace &space, const SparseFactor &factor, const DampedOptions &options,
                            std::vector<Search> &searches) {
  constexpr std::size_t at_once = 16;
  constexpr Eigen::Index solved_at_once = 32;  // so many take two thirds of what they take in blocks of eight
  const DampedProblem &p = *space.problem;
  std::vector<Search *> asked;
  for (Search &search : searches)
    if (!search.found) asked.push_back(&search);
  Eigen::MatrixXd w(p.mass->rows(), Eigen::Index(2 * asked.size()));
  Eigen::Index columns = 0;
  double largest = 0;
  for (std::size_t start = 0; start < asked.size(); start += at_once) {
    const std::size_t count = std::min(at_once, asked.size() - start);
    std::vector<DampedPair> pairs;
    for (std::size_t i = 0; i < count; ++i) pairs.push_back(asked[start + i]->now);
    const Eigen::MatrixXd x = vectors_of(space, pairs);
    const DampedResiduals residuals = residuals_of(p, pairs, x);
    for (std::size_t i = 0; i < count; ++i) {
      if (!stays_open(p, options, x, residuals, i, *asked[start + i])) continue;
      w.middleCols(columns, 2) = some_columns(residuals.r, Eigen::Index(i), 1);
      columns += 2;
      largest = std::max(largest, residuals.norm[i]);
    }
  }
  w.conservativeResize(Eigen::NoChange, columns);
  if (columns == 0) return w;
  compress(w, std::max(options.tolerance, largest) / 10);
  for (Eigen::Index i = 0; i < w.cols(); i += solved_at_once) {
    Eigen::MatrixXd some = w.middleCols(i, std::min(solved_at_once, w.cols() - i));
    factor.solve(some);
    w.middleCols(i, some.cols()) = some;
  }
  return w;
}

// A few modes that are corrected together until each is exact; false when one does not get there.
bool solve_batch(DampedSpace space, const SparseFactor &factor, const DampedOptions &options,
                 std::vector<Search> searches, DampedMode *result) {
  for (int step = 0;; ++step) {
    Eigen::MatrixXd w = corrections(space, factor, options, searches);
    if (w.cols() == 0) break;
    if (step >= options.most_steps) return false;
    extend(space, std::move(w));
    for (Search &search : searches)
      if (!search.found) follow_pair(space, search.now);
  }
  std::vector<DampedPair> pairs;
  for (const Search &search : searches) pairs.push_back(search.best);
  const Eigen::MatrixXcd shapes = complex_of(vectors_of(space, pairs));
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Complex lambda = pairs[i].lambda;
    result[i].frequency = damped_frequency(lambda);
    result[i].loss_factor = lambda.imag() / lambda.real();
    result[i].residual = searches[i].residual;
    result[i].steps = searches[i].steps;
    result[i].shape = shapes.col(Eigen::Index(i));
  }
  return true;
}

void refuse_twins(const DampedProblem &p, const std::vector<DampedMode> &modes) {
  for (std::size_t i = 0; i < modes.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      if (std::abs(modes[i].frequency / modes[j].frequency - 1) > 1e-9) continue;
      Eigen::MatrixXd parts(modes[j].shape.size(), 2);
      parts << modes[j].shape.real(), modes[j].shape.imag();
      parts = multiply(*p.mass, parts);
      const Complex overlap =
          (modes[i].shape.transpose() * parts.cast<Complex>() * Eigen::Vector2cd(1, Complex(0, 1)))(0);
      if (std::abs(overlap) > 0.9)
        throw SolveError("two damped modes near " + std::to_string(int(modes[i].frequency)) +
                         " Hz cannot be told apart; use the energy method for this case");
    }
}

}  // namespace

std::vector<DampedMode> energy_modes(const DampedProblem &p, const EigenPairs &real) {
  const int modes = int(real.values.size());
  Eigen::MatrixXd energy(p.parts.size() + 1, modes);
  energy.row(0) = real.values.transpose();
  constexpr int at_once = 16;  // a product with all of the vectors is as large as they are
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    for (int i = 0; i < modes; i += at_once) {
      const auto x = real.vectors.middleCols(i, std::min(at_once, modes - i));
      energy.row(k + 1).segment(i, x.cols()) = x.cwiseProduct(multiply(p.parts[k].stiffness, x)).colwise().sum();
    }
  std::vector<DampedMode> result(modes);
  for (int i = 0; i < modes; ++i) {
    Complex lambda = real.values[i];
    for (int step = 0; step < 50; ++step) {
      const Complex next = (damped_weights(p, damped_frequency(lambda)).transpose() * energy.col(i).cast<Complex>())(0);
      const double change = std::abs(next - lambda) / std::abs(next);
      lambda = next;
      if (change < 1e-12) break;
    }
    result[i].frequency = damped_frequency(lambda);
    result[i].loss_factor = lambda.imag() / lambda.real();
  }
  return result;
}

double energy_method_error(const DampedProblem &p, const EigenPairs &real, const std::vector<DampedMode> &energy) {
  if (p.parts.empty() || energy.empty()) return 0;  // all loses alike: the undamped shapes are the damped ones
  const std::vector<DampedPair> pairs = first_pairs(make_modal_space(p, real), energy);
  double worst = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Complex lambda = pairs[i].lambda;
    worst = std::max(worst, std::abs(damped_frequency(lambda) / energy[i].frequency - 1));
    const double loss = lambda.imag() / lambda.real();
    if (loss > 0) worst = std::max(worst, std::abs(energy[i].loss_factor / loss - 1));
  }
  return worst;
}

std::vector<DampedMode> exact_modes(const DampedProblem &p, const SparseFactor &factor, const EigenPairs &real,
                                    const std::vector<DampedMode> &energy, const DampedOptions &options) {
  const int modes = int(energy.size());
  std::vector<DampedMode> result(energy.size());
  if (modes == 0) return result;
  const DampedSpace space = make_damped_space(p, real);
  std::vector<Search> searches(result.size());
  const std::vector<DampedPair> first = first_pairs(space, energy);
  for (std::size_t i = 0; i < first.size(); ++i) searches[i].now = first[i];
  for (int start = 0; start < modes;) {
    const KeptMemory kept;
    const int end = std::min(modes, start + options.batch);
    if (!solve_batch(space, factor, options, {searches.begin() + start, searches.begin() + end},
                     &result[std::size_t(start)]))
      throw SolveError(
          "a damped mode between " + std::to_string(int(result[std::size_t(start)].frequency)) + " and " +
          std::to_string(int(result[std::size_t(end - 1)].frequency)) +
          " Hz did not converge: a material tabled over frequency may be far from its modulus there (law_at_hz "
          "sets it); otherwise use the energy method or a lower top frequency");
    start = end;
    if (options.progress) options.progress(end, modes);
  }
  refuse_twins(p, result);
  return result;
}

}  // namespace stillbox
