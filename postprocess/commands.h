// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_file.h"

namespace stillbox {

struct RunOptions {
  std::vector<std::string> variants;  ///< names; empty: all
  std::string out;                    ///< folder, empty: print only
  double up_to = 0;                   ///< Hz
  double fineness = 1;
  int degree = 3;
  bool check_run = false;
  bool times = false;
  int picture_modes = 6;
};

/// Text: the boards of each variant with cut sizes, mass and inner volume. Errors: CaseError for an unknown variant.
std::string run_check(const CaseFile &file, const RunOptions &options);

/// Writes mesh.vtu of each variant into options.out (the current folder when empty) and returns counts and the
/// mass check as text. Errors: CaseError, OutputError, MeshError, SolveError.
std::string run_mesh(const CaseFile &file, const RunOptions &options);

/// Solves the variants, returns the tables as text and writes modes.json, modes.csv, one .vtu and one .svg per variant
/// and modes.pvd into options.out. Errors: CaseError, OutputError (before any work), MeshError, SolveError.
std::string run_modes(const CaseFile &file, const RunOptions &options);

}  // namespace stillbox
