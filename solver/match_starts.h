// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/match_pairing.h"

namespace stillbox {

// Internal to match_frequencies: where the first fit begins.

/// The best run (least objective) from starts over the whole gate: all moduli together and all bonds together on a
/// grid, all unknowns each on its own at evenly spread points, and the case's own values. Pairs that are a mode off are
/// a minimum of their own, which no single start gets out of. All starts are paired, the 40 most promising fitted (16
/// when the basis is larger than 120), no set of pairs twice. Another set of pairs that fits nearly as well adds to
/// `notes`. Starts too far from where the reduced model was made are left out.
/// Errors: SolveError when none is left.
MatchRun best_of_starts(const PairFitter &fitter, std::vector<std::string> &notes);

}  // namespace stillbox
