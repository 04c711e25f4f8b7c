// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/case_file.h"
#include "solver/match_fit.h"

namespace stillbox {

/// The values that were found as a variant for the case file.
struct MatchedVariant {
  std::string name;   ///< "matched", or "matched 2" ... where that is taken
  std::string block;  ///< TOML: [[variant]] and what it replaces, to go at the end of a case file
  std::string text;   ///< the whole case file with the block at its end
};

/// Writes the variant on top of the one that was matched. Changed materials get all moduli of their kind, the density
/// and loss factor that changed, and their standard errors as tolerances; a bond becomes kind "soft", the same springs
/// per metre of edge. Errors: CaseError as read_case, when the case file has gone.
MatchedVariant matched_variant(const CaseFile &file, const std::string &materials_path, const MatchProblem &problem,
                               const MatchResult &result);

/// Reads the text back as a case (through a temporary file) and compares: "" when every law, density, loss factor and
/// bond is as it was found to 1e-4, else what is wrong. Errors: OutputError when there is no room for the file.
std::string check_matched_variant(const MatchedVariant &variant, const std::string &materials_path,
                                  const MatchProblem &problem, const MatchResult &result);

}  // namespace stillbox
