// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"

namespace stillbox {

/// A point of the wood: the cell it lies in and its place in the unit cell.
struct Located {
  int cell = 0;
  Eigen::Vector3d xi{0, 0, 0};
};

/// Finds points among the cells of one board (and, in a mitre, of its mate).
struct Locator {
  Locator(const HexMesh &mesh, const Discretisation &discretisation, int board);
  /// The cell that holds x, within `tolerance` of the unit cell; nothing where there is no wood of this board.
  std::optional<Located> find(const Eigen::Vector3d &x, double tolerance = 1e-6) const;

  const Discretisation &d;
  struct Box {
    int cell;
    Eigen::Vector3d low, high;
    bool brick;
    std::array<int, 3> axis;      ///< brick: world axis of each local direction
    std::array<bool, 3> flipped;  ///< brick: local direction runs against the axis
  };
  std::vector<Box> boxes;
};

}  // namespace stillbox
