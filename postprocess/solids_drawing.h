// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/structure.h"
#include "solver/modal_result.h"

namespace stillbox {

/// The three views of cabinet_drawing for a cabinet of solids, from its tetrahedra: the front with its cut-outs and,
/// dashed, the extent of the braces; a section from the side through the middle; a section from above through the
/// middle of the lowest brace that lies flat, or half-way up. Round edges are drawn by chords of half an element, a
/// 32nd of a circle. Empty for free boards.
std::string solids_drawing(const Structure &structure, const ModalField &field);

}  // namespace stillbox
