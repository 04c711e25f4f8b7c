// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/cut_list.h"

namespace stillbox {

/// A board as a DXF file in mm, 1:1, its low corner at 0, 0; walls as seen from outside, other boards from their high
/// face. Layers:
///   OUTLINE  the finished size, to the long point of mitres
///   CUT_OUTS holes and openings, through
///   NOTCHES  where other boards come through
///   REBATES  steps in the thickness (dashed), with their depth as a text
///   MITRES   the short point of bevelled edges (dashed); of solids also what the saw is tilted by
///   BRACES   where braces and other boards are glued on a face (dashed)
///   NOTES    name, thickness, unit, which face is seen, the grain
std::string board_drawing_dxf(const Structure &structure, int board, const CutList &list);

}  // namespace stillbox
