// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <optional>
#include <vector>

#include "solver/discretisation.h"

namespace stillbox {

// Internal to box_nodes: how the nodes of one board spread over its faces.

/// One of the two faces of a board as finite elements in its plane. A column is a line of nodes through the thickness.
struct PlateMesh {
  std::vector<Eigen::Vector2d> columns;                      ///< places in the box, m
  std::vector<std::vector<int>> cells;                       ///< (degree + 1)^2 columns, first direction fastest
  std::vector<std::optional<Eigen::Vector2d>> inner, outer;  ///< where columns have to begin and end in the shape
};

struct PlatePlaces {
  std::vector<Eigen::Vector2d> inner, outer;  ///< by column: board coordinates in the shape
};

/// Spreads the columns. On the inner face each coordinate is harmonic in the box's (a least change of size over the
/// face), with the given places held. The outer places are the inner ones, so that lines through the thickness are
/// square to the board, plus what differs where both are given; that dies away within `reach` (m; further where it is
/// large, see box_edges.h), as the solution of w - reach^2 laplace w = 0.
PlatePlaces spread_plate(const PlateMesh &mesh, const std::vector<double> &knots, double reach);

}  // namespace stillbox
