// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "postprocess/commands.h"
#include "postprocess/heard.h"
#include "postprocess/match_words.h"

namespace stillbox {

/// What `match` is asked.
struct MatchRequest {
  std::string heard_path;  ///< a list of heard frequencies, or a recording when `hear` is set
  MatchWords words;
  double gate = 15;  ///< per cent
  double floor = 1;  ///< per cent: relative sd of a frequency for what the model leaves out
  double up_to = 0;  ///< Hz; 0: 1.3 times the highest heard frequency
  std::string materials_path;
  /// The modes heard in a recording; empty: lists only.
  std::function<std::vector<HeardMode>(const std::string &path)> hear;
};

/// Sets heard frequencies against those of one variant (the base, or the one in options.variants) and finds the
/// unknowns that bring them together; returns the text and writes match.json, match.csv, matched-variant.toml (the
/// block alone) and matched.toml (the whole case with it) into options.out.
/// Errors: CaseError (nothing is written) for the list, the unknowns, an unknown variant or more than one, a wall that
/// is no board, a top frequency below the highest heard one or above 20 kHz, a mode number that is not found;
/// OutputError, MeshError, SolveError.
std::string run_match(const CaseFile &file, const RunOptions &options, const MatchRequest &request);

}  // namespace stillbox
