// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

namespace stillbox {

/// The smoothest surface through values at scattered places: a thin plate spline,
///   s(x) = sum over i of c_i r_i^2 ln r_i + a + b.x,   r_i = |x - x_i|,  sum c_i = 0, sum c_i x_i = 0
/// (J. Duchon 1977, from memory). With all places on one line, or fewer than three, the value of the nearest.
struct ScatteredSurface {
  std::vector<Eigen::Vector2d> places;
  Eigen::VectorXd values, weights, plane;  ///< weights empty: nearest value
  double scale = 1;                        ///< places are divided by this
};

/// One value per place, at least one place; of places closer than a millionth of the extent only the first counts.
ScatteredSurface surface_through(const std::vector<Eigen::Vector2d> &places, const Eigen::VectorXd &values);

/// Not above the greatest of the values; below the least it may go where the places end.
double surface_at(const ScatteredSurface &surface, const Eigen::Vector2d &place);

}  // namespace stillbox
