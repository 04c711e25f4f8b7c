// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/air_solution.h"

namespace stillbox {

/// Tables and words for a terminal, one variant.
std::string air_table(const AirSolution &solution);

/// One sentence per coincidence, in the order of the solution.
std::vector<std::string> coincidence_words(const AirSolution &solution);

/// What the figures include and leave out.
std::string air_cautions(const std::vector<AirSolution> &variants);

/// CSV (RFC 4180), a row per variant and item:
///   variant, kind ("standing wave", "port" or "wall mode"), number (from 1; modes as in `modes`), label (of a port its
///   name), alone_hz: without the others, a standing wave between rigid walls in plain air, a port by the hand formula,
///   a wall mode without air; mesh_error_percent of it, empty for a port; band_low_hz, band_high_hz: of a wall mode, by
///   the boards' tolerances, without air; rigid_walls_hz, rigid_walls_loss_factor, rigid_walls_decay_time_s: with
///   linings and ports, walls rigid, empty for a wall mode; together_hz, together_loss_factor, together_decay_time_s:
///   walls, ports and air together; shift_percent: together_hz over alone_hz, less 1.
/// Empty cells: not found up to the top frequency, or no loss (T60).
std::string air_csv(const std::vector<AirSolution> &variants);

/// Everything as JSON (RFC 8259):
///   schema     "stillbox air 1"
///   case, nature, units
///   variants[] name, up_to_hz, volume_m3, chambers, sound_speed_m_s, density_kg_m3,
///              regions [{name, volume_m3}],
///              openings [{name, area_m2, kind: "driver", "port" or "closed"}],
///              ports [{name, tuning_hz (rigid walls), rigid_walls_loss_factor, together_hz, hand_formula_hz, area_m2,
///              length_m,
///                      end_correction_outside_m, end_correction_inside_m (of the hand formula)}],
///              standing_waves [{number, alone_hz, mesh_error_percent, label, rigid_walls_hz, rigid_walls_loss_factor,
///                      rigid_walls_decay_time_s, together_hz}],
///              wall_modes [{mode, label, alone_hz, mesh_error_percent, band_hz, together_hz, shift_percent,
///                      alone_loss_factor, together_loss_factor}],
///              coincidences [{standing_wave (from 1), wall_mode (from 1), apart_percent, coupling_hz, words}]
/// null: not found up to the top frequency, damped away, or infinite.
std::string air_json(const std::vector<AirSolution> &variants);

}  // namespace stillbox
