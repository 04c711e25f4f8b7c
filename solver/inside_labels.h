// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/inside_field.h"

namespace stillbox {

/// How the standing waves go: "even pressure", "standing wave top-bottom, 2" (two half-waves), "standing wave
/// left-right, 1 and front-back, 1". By the product of cosines of the box that was meshed that a mode resembles most
/// (share of its energy); "much changed by what is inside, most like ..." below a share of one half.
std::vector<std::string> standing_wave_labels(const InsideField &field);

}  // namespace stillbox
