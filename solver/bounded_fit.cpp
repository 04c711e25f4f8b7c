// SPDX-License-Identifier: MIT
#include "solver/bounded_fit.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <vector>

namespace stillbox {
namespace {

// Minimum over the free entries with the others as they are in d.
Eigen::VectorXd free_minimum(const Eigen::MatrixXd &H, const Eigen::VectorXd &g, const Eigen::VectorXd &d,
                             const std::vector<int> &free) {
  const int n = int(free.size());
  Eigen::MatrixXd h(n, n);
  Eigen::VectorXd rhs(n);
  Eigen::VectorXd held = d;
  for (int i : free) held[i] = 0;
  const Eigen::VectorXd load = -g - H * held;
  for (int a = 0; a < n; ++a) {
    rhs[a] = load[free[a]];
    for (int b = 0; b < n; ++b) h(a, b) = H(free[a], free[b]);
  }
  return h.ldlt().solve(rhs);
}

}  // namespace

Eigen::VectorXd box_minimum(const Eigen::MatrixXd &H, const Eigen::VectorXd &g, const Eigen::VectorXd &low,
                            const Eigen::VectorXd &high, Eigen::VectorXi *active) {
  const int n = int(g.size());
  assert(H.rows() == n && (low.array() <= 0).all() && (high.array() >= 0).all());
  Eigen::VectorXd d = Eigen::VectorXd::Zero(n);
  Eigen::VectorXi at = Eigen::VectorXi::Zero(n);
  // Each pass holds one more bound or lets go of one that pulls the wrong way; the value falls, so no set comes twice.
  for (int pass = 0; pass < 50 * (n + 1); ++pass) {
    std::vector<int> free;
    for (int i = 0; i < n; ++i)
      if (at[i] == 0) free.push_back(i);
    int blocked = -1;
    if (!free.empty()) {
      const Eigen::VectorXd wanted = free_minimum(H, g, d, free);
      double most = 1;
      for (std::size_t a = 0; a < free.size(); ++a) {
        const int i = free[a];
        const double step = wanted[a] - d[i], room = step > 0 ? high[i] - d[i] : low[i] - d[i];
        if (step == 0 || room / step >= most) continue;
        most = std::max(0.0, room / step);
        blocked = i;
      }
      for (std::size_t a = 0; a < free.size(); ++a) d[free[a]] += most * (wanted[a] - d[free[a]]);
      if (blocked >= 0) {
        at[blocked] = wanted[std::find(free.begin(), free.end(), blocked) - free.begin()] > d[blocked] ? 1 : -1;
        d[blocked] = at[blocked] > 0 ? high[blocked] : low[blocked];
        continue;
      }
    }
    const Eigen::VectorXd slope = H * d + g;
    int worst = -1;
    double pull = 0;
    for (int i = 0; i < n; ++i) {
      const double wrong = at[i] * slope[i] / std::sqrt(H(i, i));  // > 0: the value falls away from the bound
      if (low[i] == high[i] || wrong <= pull) continue;
      pull = wrong;
      worst = i;
    }
    if (worst < 0 || pull <= 1e-13 * g.cwiseQuotient(H.diagonal().cwiseSqrt()).cwiseAbs().maxCoeff()) break;
    at[worst] = 0;
  }
  if (active) *active = at;
  return d;
}

BoundedFit bounded_fit(const Residuals &residuals, const Eigen::VectorXd &start, const Eigen::VectorXd &low,
                       const Eigen::VectorXd &high, const BoundedFitOptions &options) {
  assert((low.array() <= high.array()).all());
  const int n = int(start.size());
  BoundedFit fit;
  fit.x = start.cwiseMax(low).cwiseMin(high);
  fit.on_bound = Eigen::VectorXi::Zero(n);
  residuals(fit.x, fit.residuals, fit.jacobian);
  fit.evaluations = 1;
  fit.sum_of_squares = fit.residuals.squaredNorm();
  if (n == 0) {
    fit.converged = true;
    return fit;
  }
  double damping = 1e-3, growth = 2;
  Eigen::VectorXd scale = Eigen::VectorXd::Zero(n);
  for (int step = 0; step < options.most_steps; ++step) {
    const Eigen::MatrixXd H = fit.jacobian.transpose() * fit.jacobian;
    const Eigen::VectorXd g = fit.jacobian.transpose() * fit.residuals;
    scale = scale.cwiseMax(H.diagonal());
    for (int i = 0; i < n; ++i) {
      const bool below = fit.x[i] <= low[i] && g[i] > 0, above = fit.x[i] >= high[i] && g[i] < 0;
      fit.on_bound[i] = below ? -1 : above ? 1 : 0;
    }
    double steepest = 0;
    for (int i = 0; i < n; ++i)
      if (fit.on_bound[i] == 0 && H(i, i) > 0) steepest = std::max(steepest, std::abs(g[i]) / std::sqrt(H(i, i)));
    if (steepest <= options.gradient_tolerance * std::sqrt(fit.sum_of_squares)) {
      fit.converged = true;
      break;
    }
    Eigen::MatrixXd damped = H;
    const double least = std::max(scale.maxCoeff() * 1e-12, std::numeric_limits<double>::min());
    damped.diagonal() += damping * scale.cwiseMax(least);
    const Eigen::VectorXd d = box_minimum(damped, g, low - fit.x, high - fit.x);
    if (d.norm() <= options.step_tolerance * (1 + fit.x.norm())) {
      fit.converged = true;
      break;
    }
    const Eigen::VectorXd x = (fit.x + d).cwiseMax(low).cwiseMin(high);
    Eigen::VectorXd r;
    Eigen::MatrixXd J;
    residuals(x, r, J);
    ++fit.evaluations;
    const double expected = -(2 * g.dot(d) + d.dot(H * d)), gained = fit.sum_of_squares - r.squaredNorm();
    if (gained > 0 && expected > 0) {
      fit.x = x;
      fit.residuals = r;
      fit.jacobian = J;
      fit.sum_of_squares = r.squaredNorm();
      damping *= std::max(0.1, 1 - std::pow(2 * gained / expected - 1, 3));
      damping = std::max(damping, 1e-14);
      growth = 2;
    } else if (damping > 1e12) {
      break;
    } else {
      damping *= growth;
      growth *= 2;
    }
  }
  // A bound counts when it pushes back by more than rounding.
  const Eigen::VectorXd g = fit.jacobian.transpose() * fit.residuals;
  for (int i = 0; i < n; ++i) {
    const double push = 1e-7 * fit.jacobian.col(i).norm() * std::sqrt(fit.sum_of_squares);
    fit.on_bound[i] = fit.x[i] <= low[i] && g[i] > push ? -1 : fit.x[i] >= high[i] && -g[i] > push ? 1 : 0;
  }
  return fit;
}

}  // namespace stillbox
