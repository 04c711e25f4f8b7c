// SPDX-License-Identifier: MIT
#pragma once
#include <array>
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

/// Splits the intervals by the element sizes of the boards that lie there; those along the boundary of a region get an
/// even number, as make_planar_quads needs.
Ticks make_ticks(const Structure &structure, const Grid &grid, const std::vector<Region> &regions,
                 const MeshOptions &options);

}  // namespace stillbox
