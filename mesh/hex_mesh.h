// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <vector>

#include "mesh/grid.h"
#include "mesh/structure.h"

namespace stillbox {

/// A cylinder that curved faces follow.
struct Cylinder {
  Eigen::Vector3d axis_point{0, 0, 0}, axis{0, 0, 1};
  double radius = 0;
};

/// A face of a cell on the rim of a cut-out (or of a disc: cut_out = -1).
struct RimFace {
  int cell = 0;
  std::array<int, 4> nodes{};  ///< corner nodes, no order promised
  int board = 0, cut_out = -1;
  int cylinder = -1;  ///< index into HexMesh::cylinders, -1 for a flat part of the rim
};

struct HexCell {
  std::array<int, 8> nodes{};  ///< corners, first local direction fastest, right-handed; unused by tetrahedra
  int board = 0;
  int layer = 0;          ///< of the board; of a bent one the sector
  int mate = -1;          ///< the second board of a mitre
  int mate_layer = 0;     ///< its layer or sector
  double first_part = 1;  ///< of the cell's volume that is `board`'s; the rest is the mate's
};

/// A face where a bond joins two cells whose nodes are double there. Where a third board is glued to both, its nodes
/// are theirs as well and the springs between them are idle.
struct BondFace {
  int bond = 0;                  ///< index into Structure::bonds
  int cell_a = 0, cell_b = 0;    ///< of the bond's first and second board (or of their mates in a mitre)
  std::array<int, 4> nodes_a{};  ///< corner nodes in cell_a, no order promised
  std::array<int, 4> nodes_b{};  ///< those of cell_b at the same places, in the order of nodes_a
  double width = 0;              ///< m: width of the contact face that this face is part of
};

/// Hexahedra that conform across glued faces; where a side is not glued the nodes are double.
struct HexMesh {
  std::vector<Eigen::Vector3d> nodes;
  std::vector<HexCell> cells;
  std::vector<Cylinder> cylinders;
  std::vector<RimFace> rim_faces;
  std::vector<BondFace> bond_faces;
};

struct MeshOptions {
  double up_to = 1000;  ///< Hz: the bending wavelength of each board at this frequency sets the element size
  double fineness = 1;  ///< divides the element size
  int degree = 3;       ///< of the elements that will be used
  double relief = 0.6;  ///< board thicknesses from a joint's inner corner to the next element boundary, 0 = none
};

/// Element size for a board in its plane, m: its shortest bending wavelength 2 pi (D / (m' w^2))^(1/4) at the top
/// frequency, divided by the number of elements a wave needs at the given degree, times 1 / fineness; at most
/// the board's longer side.
double element_size(const Structure &structure, const Board &board, const MeshOptions &options);

/// Meshes the structure. Errors: MeshError with the board or cut-out that cannot be meshed.
HexMesh make_hex_mesh(const Structure &structure, const MeshOptions &options);

}  // namespace stillbox
