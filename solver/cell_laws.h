// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/hex_mesh.h"
#include "solver/discretisation.h"

namespace stillbox {

/// World-axes stress law, density and loss factor of one layer of one board.
struct LayerLaw {
  StressLaw law = StressLaw::Zero();
  double density = 0, loss_factor = 0;
  int board = 0, material = 0;
  double modulus_scale = 1;
};

/// What a cell is made of: one law, or two in a mitre, split at each Gauss point.
struct CellLaws {
  std::vector<LayerLaw> layers;  ///< all layers of all boards
  /// [board][layer] -> index into layers. A bent board's one layer stands here once for each sector of it.
  std::vector<std::vector<int>> layer_of;
};
CellLaws make_laws(const Structure &structure);

/// Sectors a bent board is divided into, each with one direction of its axes; 0 for a flat one. Sector of a place.
int sectors_of(const Board &board);
int sector_at(const Board &board, const Eigen::Vector3d &x);

/// Share of each Gauss point that belongs to the cell's first board; the rest belongs to its mate's layer.
/// All ones for a cell without a mate. The split runs from the inner to the outer edge of the corner where the two
/// boards overlap, so it is the same whatever the element size; the shares' volume is the cell's first_part.
Eigen::VectorXd first_share(const Structure &structure, const HexCell &cell, const CellGeometry &geometry);

}  // namespace stillbox
