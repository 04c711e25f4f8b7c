// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_file.h"
#include "solver/knock_model.h"
#include "solver/modal_result.h"

namespace stillbox {

struct RunOptions {
  std::vector<std::string> variants;  ///< names; empty: all
  std::string out;                    ///< folder, empty: print only
  double up_to = 0;                   ///< Hz
  double fineness = 1;
  int degree = 3;
  Damping damping = Damping::where_needed;
  bool check_run = false;
  bool times = false;
  bool json = false;  ///< return JSON instead of text
  int picture_modes = 6;
  int side_by_side = 0;  ///< most variants solved at once; 0: as many as there are processors, if memory allows
};

/// What `sheet` is asked.
struct SheetOptions {
  double from = 0, to = 0;  ///< Hz: the modes from .. to; `to` 0 is the top frequency
  int mode = 0;             ///< a single mode, from 1; 0: the modes of the band
  std::string material = "bitumen-sheet";
  double thickness = 0.003;    ///< m
  std::string materials_path;  ///< the built-in list
};

/// What `knock` is asked.
struct KnockOptions {
  std::vector<std::string> at;  ///< "WALL, X, Y" each, see read_knock_spot; empty: a grid over all walls
  int points = 200;             ///< of the grid, at least
  KnockPulse pulse;
};

/// What `drive` is asked.
struct DriveOptions {
  int frequencies = 200;         ///< how many, besides those at the modes
  double voltage = 0;            ///< V rms at every driver; 0: as the case has it
  std::vector<double> surfaces;  ///< Hz: where velocity and pressure over the outside are written
};

// Each command returns text for a terminal, or with options.json the same as JSON (schemas beside the writers).

/// Text: the boards of each variant with cut sizes, mass and inner volume. Errors: CaseError for an unknown variant.
std::string run_check(const CaseFile &file, const RunOptions &options);

/// Writes mesh.vtu of each variant into options.out (the current folder when empty) and returns counts and the
/// mass check as text. Errors: CaseError, OutputError, MeshError, SolveError.
std::string run_mesh(const CaseFile &file, const RunOptions &options);

/// Solves the variants, returns the tables as text and writes modes.json, modes.csv, one .vtu and one .svg per variant
/// and modes.pvd into options.out. Errors: CaseError, OutputError (before any work), MeshError, SolveError.
std::string run_modes(const CaseFile &file, const RunOptions &options);

/// Solves the variants and returns where a thin damping sheet adds most loss as text; writes sheet.csv and one
/// NAME-sheet.svg per variant into options.out. Errors: CaseError (nothing is written then) for an unknown variant or
/// material, a thickness that is not above 0 and at most that of the thinnest board, from >= to, a mode that is not
/// found, a band without modes, a sheet whose table does not cover a mode; OutputError, MeshError, SolveError.
std::string run_sheet(const CaseFile &file, const RunOptions &options, const SheetOptions &sheet);

/// Solves the variants, knocks on their walls and returns how they answer as text; writes mobility.json and
/// mobility.csv into options.out. Errors: CaseError (nothing is written then) for a pulse out of range, a point off the
/// wall, on a cut-out or near an edge, an unknown wall or variant; OutputError (before any work), MeshError,
/// SolveError.
std::string run_knock(const CaseFile &file, const RunOptions &options, const KnockOptions &knock);

/// The air inside: standing waves with the lining's damping, the tuning of ports, and what the air does to the walls'
/// modes, as text; writes air.json, air.csv and one NAME-air.vtu per variant into options.out. Errors: CaseError
/// (nothing is written then) for an unknown variant or one without a cabinet; OutputError (before any work), MeshError,
/// SolveError.
std::string run_air(const CaseFile &file, const RunOptions &options);

/// Solves the variants with their drivers driven and returns how much of the sound is the walls' as text; writes
/// drive.json, drive.csv, two pictures and the surfaces asked for into options.out. Errors: CaseError (nothing is
/// written then, see check_drive), OutputError (before any work), MeshError, SolveError.
std::string run_drive(const CaseFile &file, const RunOptions &options, const DriveOptions &drive);

}  // namespace stillbox
