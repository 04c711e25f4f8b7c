// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <set>
#include <vector>

#include "mesh/hex_mesh.h"
#include "mesh/regions.h"

namespace stillbox {

/// The element boundaries along each world axis: every interval between two grid lines is split into `count`
/// elements, the same everywhere, so that boards that meet conform.
struct Ticks {
  std::array<std::vector<int>, 3> count;        ///< elements per interval
  std::array<std::vector<int>, 3> offset;       ///< number of the tick at each grid line
  std::array<std::vector<double>, 3> position;  ///< m, by tick number
};

/// Splits the intervals by the element sizes of the boards that lie there and by the webs beside cut-outs; those along
/// the boundary of a region get an even number, as make_planar_quads needs. `tiled`: boards whose cut-outs get tiles.
Ticks make_ticks(const Structure &structure, const Grid &grid, const std::vector<Region> &regions,
                 const std::set<int> &tiled, const MeshOptions &options);

/// Fills offset and position from count.
void place_ticks(const Grid &grid, Ticks &ticks);

}  // namespace stillbox
