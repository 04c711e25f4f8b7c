// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <utility>
#include <vector>

namespace stillbox {

/// Points in order; closed when the first and last are the same.
using Polyline = std::vector<Eigen::Vector2d>;

/// Joins segments (pairs of point numbers, in any direction) into as few chains of point numbers as there are ends:
/// open chains first, then rings, whose first and last numbers are equal. Segments of no length are dropped.
std::vector<std::vector<int>> chain_segments(const std::vector<std::pair<int, int>> &segments);

/// Drops points that lie within `tolerance` of the line that is left (Douglas and Peucker 1973, from memory). Ends
/// stay; a ring stays a ring and comes back empty when nothing but a line is left of it.
Polyline simplify(const Polyline &line, double tolerance);

/// Signed area of a ring, counter-clockwise positive.
double ring_area(const Polyline &ring);

}  // namespace stillbox
