// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/commands.h"
#include "postprocess/progress.h"
#include "solver/drive_solve.h"

namespace stillbox {

// For commands.cpp and the report: the checks, solutions and files of `drive`.

/// A box, or a [shape] with one room: what drive has a model of the air inside for.
bool can_be_driven(const Structure &structure);

/// Everything that can be wrong before any work: figures out of range, no cabinet, no driven driver, a top frequency
/// beyond what the sound outside can take, a material's table that does not cover the range, --surface-hz without
/// --out. Errors: CaseError.
void check_drive(const CaseFile &file, const std::vector<const Structure *> &variants, const RunOptions &options,
                 const DriveOptions &drive);

/// Solves the variants with their drivers driven. Errors: MeshError, SolveError.
std::vector<DriveSolution> drive_variants(const std::vector<const Structure *> &variants, const RunOptions &options,
                                          const DriveOptions &drive, const ProgressLine &line);

/// Tries the folder and gnuplot before any work. Errors: OutputError.
void check_drive_files(const std::string &folder);

/// drive.json, drive.csv, drive-walls.svg and .png, drive-impedance.svg and .png, and per variant and frequency asked
/// for VARIANT-HZ-drive.vtu. Errors: OutputError.
void write_drive_files(const std::string &folder, const std::vector<DriveSolution> &variants);

}  // namespace stillbox
