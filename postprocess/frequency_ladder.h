// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/pairing.h"
#include "solver/modal_result.h"

namespace stillbox {

/// All modes of all variants over frequency (logarithmic), a row per variant, as one SVG: a tick for each mode, the
/// band of the boards' tolerances with the number of the mode for those listed in `marked` (from 0, one list per
/// variant; `numbers`: what each mode is called), lines between ticks of the same shape in neighbouring rows (by their
/// partner in the first variant).
std::string frequency_ladder(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings,
                             const std::vector<std::vector<int>> &marked, const std::vector<std::vector<int>> &numbers);

}  // namespace stillbox
