// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/structure.h"

namespace stillbox {

/// A cabinet to scale in three views as one SVG: the front with its cut-outs and, dashed, the inside; a section from
/// the side through the middle; a section from above through the lowest brace that lies flat, or through the middle.
/// Wood that is cut is filled (walls, braces and damping sheets differ in tone and hatching), outer sizes in mm are
/// written. Boards that are not axis-parallel boxes are left out. Empty without a cabinet.
std::string cabinet_drawing(const Structure &structure);

}  // namespace stillbox
