// SPDX-License-Identifier: MIT
#include "solver/fit_quality.h"
#include "solver/lapack.h"

#include <cmath>
#include <limits>

namespace stillbox {

bool FitQuality::misses() const { return freedom > 0 && chi_squared > chi_squared_99(freedom); }

double chi_squared_99(int freedom) {
  const double n = freedom, part = 2 / (9 * n);
  return n * std::pow(1 - part + 2.3263 * std::sqrt(part), 3);
}

FitQuality judge_fit(const Eigen::MatrixXd &J, const Eigen::VectorXd &r, const Eigen::VectorXi &on_bound,
                     const Eigen::VectorXd &width, double blind_above) {
  constexpr double infinite = std::numeric_limits<double>::infinity();
  const int all = int(J.cols());
  FitQuality q;
  q.chi_squared = r.squaredNorm();
  q.standard_error = Eigen::VectorXd::Zero(all);
  q.is_determined.assign(all, 1);
  q.correlation = Eigen::MatrixXd::Constant(all, all, std::numeric_limits<double>::quiet_NaN());
  std::vector<int> free;
  for (int i = 0; i < all; ++i)
    if (on_bound[i] == 0) free.push_back(i);
  const int n = int(free.size());
  q.freedom = int(r.size());
  if (n == 0) return q;
  Eigen::MatrixXd part(J.rows(), n);
  for (int a = 0; a < n; ++a) part.col(a) = J.col(free[a]);

  const SymmetricPairs solver = symmetric_eigenpairs(part.transpose() * part);
  const double greatest = std::max(solver.values.maxCoeff(), 0.0);
  Eigen::MatrixXd covariance = Eigen::MatrixXd::Zero(n, n);
  Eigen::VectorXd blind_part = Eigen::VectorXd::Zero(n);
  for (int k = 0; k < n; ++k) {
    const double square = solver.values[k];  // of the singular value
    const Eigen::VectorXd v = solver.vectors.col(k);
    const bool is_null = square <= 1e-12 * greatest;
    const double sd = is_null ? infinite : 1 / std::sqrt(square);
    if (!is_null) {
      covariance += v * v.transpose() / square;
      --q.freedom;
    }
    if (sd <= blind_above) continue;
    blind_part += v.cwiseAbs2();
    Eigen::Index largest = 0;
    v.cwiseAbs().maxCoeff(&largest);
    FitQuality::Blind blind{Eigen::VectorXd::Zero(all), sd};
    for (int a = 0; a < n; ++a) blind.direction[free[a]] = v[largest] < 0 ? -v[a] : v[a];
    q.blind.push_back(blind);
  }
  q.freedom = std::max(q.freedom, 0);
  if (q.freedom > 0) q.widened = std::max(1.0, std::sqrt(q.chi_squared / q.freedom));
  Eigen::MatrixXd known = part.transpose() * part;
  for (int a = 0; a < n; ++a) known(a, a) += 12 / std::pow(width[free[a]], 2);
  const Eigen::MatrixXd spread = known.inverse();
  for (int a = 0; a < n; ++a) {
    // More than a tenth of the unit vector lies in blind directions.
    q.is_determined[free[a]] = blind_part[a] < 0.01;
    q.standard_error[free[a]] = q.is_determined[free[a]] ? q.widened * std::sqrt(covariance(a, a)) : infinite;
    for (int b = 0; b < n; ++b)
      q.correlation(free[a], free[b]) = a == b ? 1 : spread(a, b) / std::sqrt(spread(a, a) * spread(b, b));
  }
  return q;
}

}  // namespace stillbox
