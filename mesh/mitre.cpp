// SPDX-License-Identifier: MIT
#include "mesh/mitre.h"

#include <algorithm>
#include <cmath>

namespace stillbox {

double mitre_side(const Board &first, const Board &second, const Eigen::Vector3d &point) {
  return first.coordinates_of(point).z() / first.thickness() - second.coordinates_of(point).z() / second.thickness();
}

double mitre_part(const Board &first, const Board &second, const Eigen::Vector3d &low, const Eigen::Vector3d &high) {
  // Over the box the side goes up by `along` from one end to the other in the direction of each board's normal.
  const Eigen::Vector3d reach = high - low;
  const double along[2] = {std::abs(first.normal().dot(reach)) / first.thickness(),
                           std::abs(second.normal().dot(reach)) / second.thickness()};
  const double highest = mitre_side(first, second, (low + high) / 2) + (along[0] + along[1]) / 2;
  const auto square = [](double x) { return x > 0 ? x * x : 0; };
  const double part = (square(highest) - square(highest - along[0]) - square(highest - along[1]) +
                       square(highest - along[0] - along[1])) /
                      (2 * along[0] * along[1]);
  return std::clamp(part, 0., 1.);
}

}  // namespace stillbox
