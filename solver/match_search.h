// SPDX-License-Identifier: MIT
#pragma once
#include "solver/match_pairing.h"

namespace stillbox {

// Internal to match_frequencies.

/// Tries the next best pairs, one change at a time, as long as that leads to a better answer (a smaller objective):
/// modes that have not yet crossed in the model are paired the wrong way round, and the fit then holds them where they
/// would cross. Heard frequencies that are known to be a mode stay with it. Errors: as reduced_modes.
MatchRun with_better_pairs(const PairFitter &fitter, MatchRun run);

}  // namespace stillbox
