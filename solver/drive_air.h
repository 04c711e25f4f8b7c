// SPDX-License-Identifier: MIT
#pragma once
#include "solver/drive_solve.h"

namespace stillbox {

/// The air inside for solve_drive with its standing waves, linings and ports (inside_air.h) up to `up_to` (Hz). A port
/// is the mass of port_tube.h without its radiation, which the sound outside brings. `structure` outlives the maker.
AirMaker standing_wave_air(const Structure &structure, double up_to, double fineness);

/// standing_wave_air for a box; of a [shape] the air inside is one spring (the default of solve_drive).
AirMaker air_inside(const Structure &structure, double up_to, double fineness);

}  // namespace stillbox
