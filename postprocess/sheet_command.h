// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/commands.h"
#include "solver/sheet_value.h"

namespace stillbox {

// Internal to commands.cpp: the checks and steps of `sheet`.

/// The sheet's material for a variant: the variant's own of this name, else the case's or the built-in one.
/// Errors: CaseError with a suggestion when there is none, and when the thickness does not suit the variant's boards.
Material sheet_material(const CaseFile &file, const Structure &structure, const SheetOptions &sheet);

/// Errors: CaseError for a variant of solids that is not a [shape] of four flat walls.
void check_sheet_shapes(const CaseFile &file, const std::vector<const Structure *> &variants);

/// Errors: CaseError when from >= to, or the band reaches beyond `up_to` (Hz).
void check_band(const SheetOptions &sheet, double up_to);

/// Solves one variant. Errors: CaseError when the mode or any mode in the band is not there, or the sheet's table does
/// not cover it; MeshError, SolveError.
SheetValue solve_sheet_value(const Structure &structure, const SolveOptions &options, const SheetOptions &sheet,
                             const Material &material);

/// Makes sure that `folder` can be made and written, without leaving it behind when it is not there yet.
/// Errors: OutputError.
void check_writable_later(const std::string &folder);

}  // namespace stillbox
