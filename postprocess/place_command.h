// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/commands.h"

namespace stillbox {

/// What `place` is asked.
struct PlaceOptions {
  std::string case_path, materials_path;
  std::string share;  ///< "k/n": only these pieces of the work; empty: all, and the report
  int sample = 2;     ///< candidates drawn at random that are solved in full besides the best ones
  int draws = 1000;   ///< boxes drawn within the boards' tolerances
  unsigned seed = 1;  ///< of both
};

/// Finds the modes of all candidates of the case's [place] table and returns the ranking, what rules of thumb are
/// worth, the error against full solutions and how sure the winner is, as text. Into options.out go candidates.csv
/// (appended to while it works: a run that was stopped goes on from there), place.json, place.csv, place.svg,
/// placed.toml (the case with the winner as a variant) and placed-variant.toml. With a share: candidates-K-of-N.csv
/// only. Errors: CaseError (nothing is written then), OutputError, MeshError, SolveError.
std::string run_place(const RunOptions &options, const PlaceOptions &place);

/// Joins candidates files of the shares of one search into out/candidates.csv, the same bytes as those of a run of the
/// whole; `place` with the same out then reports. Errors: CaseError for files that are none or of other searches,
/// OutputError.
std::string run_merge(const std::vector<std::string> &files, const std::string &out);

}  // namespace stillbox
