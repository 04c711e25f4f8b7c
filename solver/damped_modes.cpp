// SPDX-License-Identifier: MIT
#include "solver/damped_modes.h"

#include <algorithm>
#include <cmath>

#include "solver/complex_factor.h"
#include "solver/damped_space.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// A mode on its way: the best of its pairs so far, and how long that has stood.
struct Search {
  DampedPair best;
  double residual = 1e300;
  int idle = 0;  // steps since the residual last halved
};

// A few modes that are corrected together until each is exact.
void solve_batch(const DampedBasis &basis, const ComplexFactor &factor, const DampedOptions &options,
                 std::vector<DampedPair> pairs, DampedMode *result) {
  constexpr double most_rounding = 16;  // a row of K has a hundred terms and more, each rounded
  constexpr int patience = 2;
  const int count = int(pairs.size());
  DampedSpace space = make_damped_space(basis);
  std::vector<Search> searches(pairs.size());
  for (int step = 0;; ++step) {
    const Eigen::MatrixXcd x = vectors_of(space, pairs);
    const DampedResiduals residuals = residuals_of(basis.problem, pairs, x);
    std::vector<int> open;
    for (int i = 0; i < count; ++i) {
      Search &search = searches[i];
      const double residual = residuals.relative[i];
      search.idle = residual > 0.5 * search.residual ? search.idle + 1 : 0;
      if (residual < search.residual) {
        search.residual = residual;
        search.best = pairs[i];
      }
      // Rounding shows in that the residual no longer falls.
      const bool only_rounding =
          search.residual > options.tolerance && search.idle >= patience &&
          search.residual <= most_rounding * residuals.scale[i] * rounding_of(basis.problem, pairs[i], x.col(i));
      if (search.residual > options.tolerance && !only_rounding) open.push_back(i);
    }
    if (open.empty()) {
      for (int i = 0; i < count; ++i) pairs[i] = searches[i].best;
      const Eigen::MatrixXcd shapes = vectors_of(space, pairs);
      for (int i = 0; i < count; ++i) {
        const Complex lambda = pairs[i].lambda;
        result[i].frequency = damped_frequency(lambda);
        result[i].loss_factor = lambda.imag() / lambda.real();
        result[i].residual = searches[i].residual;
        result[i].steps = step;
        result[i].shape = shapes.col(i);
      }
      return;
    }
    if (step >= options.most_steps)
      throw SolveError("a damped mode near " + std::to_string(int(damped_frequency(pairs[open[0]].lambda))) +
                       " Hz did not converge; use the energy method or a lower top frequency");
    Eigen::MatrixXcd w(x.rows(), Eigen::Index(open.size()));
    for (std::size_t i = 0; i < open.size(); ++i) w.col(Eigen::Index(i)) = residuals.r.col(open[i]);
    factor.solve(w);
    extend(space, std::move(w));
    for (DampedPair &pair : pairs) follow_pair(space, pair);
  }
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
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    energy.row(k + 1) = real.vectors.cwiseProduct(multiply(p.parts[k].stiffness, real.vectors)).colwise().sum();
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
  const DampedBasis basis = make_damped_basis(p, real);
  const std::vector<DampedPair> pairs = first_pairs(make_damped_space(basis), energy);
  double worst = 0;
  for (std::size_t i = 0; i < pairs.size(); ++i) {
    const Complex lambda = pairs[i].lambda;
    worst = std::max(worst, std::abs(damped_frequency(lambda) / energy[i].frequency - 1));
    const double loss = lambda.imag() / lambda.real();
    if (loss > 0) worst = std::max(worst, std::abs(energy[i].loss_factor / loss - 1));
  }
  return worst;
}

std::vector<DampedMode> exact_modes(const DampedProblem &p, double up_to, const EigenPairs &real,
                                    const DampedOptions &options) {
  const int modes = int(real.values.size());
  std::vector<DampedMode> result = energy_modes(p, real);
  if (modes == 0) return result;
  // The loss of the shift is that of the typical mode: their mean.
  double loss = 0;
  for (const DampedMode &mode : result) loss += mode.loss_factor / modes;
  const double middle = 0.77 * up_to, omega = 2 * M_PI * middle;
  const ComplexFactor factor(p, middle, omega * omega * Complex(1, loss));
  const DampedBasis basis = make_damped_basis(p, real);
  const std::vector<DampedPair> first = first_pairs(make_damped_space(basis), result);
  for (int start = 0; start < modes; start += options.batch) {
    const int end = std::min(modes, start + options.batch);
    solve_batch(basis, factor, options, {first.begin() + start, first.begin() + end}, &result[std::size_t(start)]);
    if (options.progress) options.progress(end, modes);
  }
  refuse_twins(p, result);
  return result;
}

}  // namespace stillbox
