// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

namespace stillbox {

/// What a weighted least-squares fit knows about its unknowns.
struct FitQuality {
  /// A combination of the unknowns that the data hardly see: along it they may move by `sd` for one standard deviation
  /// of the data (infinite: not seen at all).
  struct Blind {
    Eigen::VectorXd direction;  ///< unit length, largest entry positive
    double sd = 0;
  };
  Eigen::VectorXd standard_error;   ///< infinite where not determined, 0 where held on a bound
  std::vector<char> is_determined;  ///< not part of a blind combination
  Eigen::MatrixXd correlation;      ///< NaN in rows of unknowns on a bound
  std::vector<Blind> blind;
  double chi_squared = 0;  ///< sum of squared residuals
  int freedom = 0;         ///< residuals less directions that were fitted
  double widened = 1;      ///< factor by which the standard errors were widened: sqrt(chi^2 / freedom) if > 1
  bool misses() const;     ///< chi^2 above its 99 % point
};

/// From the weighted residuals r and J at the minimum (a relative change of the unknown in each column, so that sd and
/// standard errors are relative): covariance (J' J)^-1 over the unknowns not on a bound (`on_bound` 0). Singular
/// directions with sd above `blind_above` are blind. For the correlations alone the bounds count as knowledge: each
/// unknown gets the variance of an even spread over `width` (high - low), so that those of a blind pair come out near 1
/// or -1. Source: any text on least squares, e.g. A. Bjorck, Numerical Methods for Least Squares Problems, 1996; the
/// widening is Birge's ratio (both from memory).
FitQuality judge_fit(const Eigen::MatrixXd &J, const Eigen::VectorXd &r, const Eigen::VectorXi &on_bound,
                     const Eigen::VectorXd &width, double blind_above = 0.5);

/// The value that chi^2 with `freedom` degrees of freedom exceeds with probability 1 %, after Wilson and Hilferty,
/// Proc. Nat. Acad. Sci. 17, 684-688, 1931 (from memory): n (1 - 2/(9n) + 2.3263 sqrt(2/(9n)))^3, 1 % off at n = 1.
double chi_squared_99(int freedom);

}  // namespace stillbox
