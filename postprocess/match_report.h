// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/heard_list.h"
#include "solver/match_fit.h"

namespace stillbox {

/// All that `match` tells of, for text and files.
struct MatchReport {
  std::string case_path, heard_path, case_name, variant_name;
  std::vector<HeardLine> heard;  ///< in the order of problem.heard
  MatchProblem problem;          ///< its start must outlive this
  MatchOptions options;
  MatchResult result;
};

/// The value of an unknown in its unit, as text: "3.214 GPa", "742 kg/m3", "0.41 x start".
std::string unknown_value(const Structure &start, const MatchUnknown &unknown, double ln_factor);

/// For a terminal, no line wider than table_width: pairs before and after, what was heard or computed alone, the values
/// with standard deviations (sd) and bounds, correlations, what cannot be told apart, chi^2 against its expectation,
/// how well the reduced model agreed, and the cautions.
std::string match_table(const MatchReport &report);

/// The pairs, extra and missed ones, one row each (RFC 4180, with a heading): state "paired", "extra" (heard, but no
/// mode) or "missed" (a mode that was not heard).
std::string match_csv(const MatchReport &report);

/// Everything as JSON, schema "stillbox match 1".
std::string match_json(const MatchReport &report);

/// What the data cannot tell apart, one sentence each.
std::vector<std::string> blind_sentences(const FitQuality &quality, const std::vector<std::string> &names);

}  // namespace stillbox
