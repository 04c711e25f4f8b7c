// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/structure.h"
#include "solver/knock_solve.h"

namespace stillbox {

/// Part of a mode's strain energy that is in the wood, 0 .. 1: twice the sum of its sensitivities to the moduli
/// (d ln f / d ln E = U_E / 2 U). What is missing is in feet and bonds.
double wood_share(const ModalResult &result, std::size_t mode);

/// Modes in which the cabinet as a whole rides on its feet: less than half of the strain energy is in the wood, of a
/// structure that has feet. Numbers from 0.
std::vector<int> riding_modes(const Structure &structure, const ModalResult &result);

/// Takes these modes (rising numbers) out of a solution: out of the table, the shapes, the sensitivities, the field and
/// the knock's modes. They count as rigid ones then. Their frequencies, Hz.
std::vector<double> take_out_modes(KnockSolution &solution, const std::vector<int> &modes);

}  // namespace stillbox
