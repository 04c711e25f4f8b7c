// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <vector>

#include "postprocess/face_grid.h"
#include "postprocess/palette.h"
#include "postprocess/polyline.h"

namespace stillbox {

/// One mode on one face, ready to draw, in board coordinates (m).
struct FaceBands {
  std::array<double, band_count> area{};  ///< m2 of wood in each band

  /// Rings to fill by the even-odd rule, so that painting one over the other leaves no hairlines: [middle_band] is all
  /// of the wood; [b] above it is where the value lies in band b or higher, below it in band b or lower.
  std::array<std::vector<Polyline>, band_count> regions;

  std::vector<Polyline> nodal_lines;
};

/// A nodal line is drawn where the wood on its two sides moves by at least this part of the mode's largest movement,
/// one way here and the other way there, within 15 % of the face's shorter side. Along glued edges, where hardly
/// anything moves, the sign is chance and a line would mean nothing.
constexpr double nodal_prominence = 0.02;

/// Bands and nodal lines (value 0) of a face by VTK's contour filters.
FaceBands face_bands(const FaceGrid &grid);

}  // namespace stillbox
