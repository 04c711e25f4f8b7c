// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// A face on a grid fine enough to draw. Point (i, j) is number i + j * nu at u = i / (nu - 1) * size[0], v likewise.
struct FaceGrid {
  int nu = 0, nv = 0;
  Eigen::Vector2d size{0, 0};  ///< m
  std::vector<double> wood;    ///< > 0 in the wood, < 0 in a cut-out; empty when there is no cut-out
  std::vector<double> value;   ///< displacement times `scale`, within -1 .. 1
};

/// Makes the samples of `values` (one per point of the face) times `scale` finer by whole factors until points lie at
/// most `step` (m, > 0) apart, at most 16 times finer.
///  - In between, cubic interpolation (Catmull-Rom); points without wood are first filled from the wood
///    around them.
///  - The edge of a cut-out is the level of the smoothed presence that keeps the area which the samples leave to the
///  wood.
/// Needs nu, nv >= 2 and at least one point of wood.
FaceGrid fine_grid(const FaceSamples &face, const Eigen::VectorXd &values, double scale, double step);

/// Value at a point in board coordinates (m), bilinear between the grid's points; NaN outside the face.
double value_at(const FaceGrid &grid, const Eigen::Vector2d &uv);

}  // namespace stillbox
