// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_file.h"
#include "solver/air_solution.h"

namespace stillbox {

// Internal to commands.cpp: the checks and the picture file of `air`.

/// Errors: CaseError for a variant without a cabinet.
void check_air(const CaseFile &file, const std::vector<const Structure *> &variants);

/// The standing waves up to the top frequency as VTK: the mesh of the air, a pressure "wave 01 428.8 Hz" each, largest
/// value 1, and the cell array "material", an index into the names of plain air and the linings. Errors: OutputError.
void write_standing_waves_vtu(const std::string &path, const AirSolution &solution);

}  // namespace stillbox
