// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/pairing.h"
#include "solver/modal_result.h"

namespace stillbox {

/// The modes of all variants as JSON (RFC 8259, UTF-8). Mode numbers count from 1, the first variant is the base.
/// The same input gives the same bytes: no dates, and times taken only on request. A figure that is not finite is null.
///
///   schema          "stillbox modes 1"; the number rises when a key changes its meaning or goes
///   case            name of the case
///   nature          a reminder that this is a prediction
///   units           what each kind of figure is in
///   variants[]      name, mass_kg, inner_volume_l (null without a cabinet), unknowns, cells, degree, up_to_hz,
///                   rigid_modes (found, not listed), count_check {state: "agrees" | "differs" | "not made", found,
///                   expected (null when not made)}: completeness by the inertia of the shifted matrix,
///                   mesh {mass_kg, mass_expected_kg, volume_m3, volume_expected_m3, least_scaled_jacobian},
///                   boards[] {name, use, material, mass_kg, volume_m3}, damping ("exact" |
///                   "energy method"), modes[], sensitivities[], includes[], leaves_out[], notes[],
///                   timings {mesh_s, assemble_s, factorise_s, eigen_s, damped_s, rest_s (energies, errors,
///                   faces), files_s (VTK and picture of the variant; 0 when none are written)}, by the clock (on
///                   request)
///   modes[]         mode, frequency_hz, mesh_error_percent (estimated; a finer mesh lowers the frequency),
///                   check_shift_percent (null without a finer run), band_hz [low, high] from the boards' tolerances,
///                   loss_factor, q, decay_time_s (T60), loss_share {material or bond: share of the loss},
///                   loss_share_by_part (by board and material), energy_method {frequency_hz, loss_factor},
///                   damped_residual (0 where the complex problem was not solved), label, energy_share {board: share of
///                   strain energy}, net_volume_m3_sqrt_kg (volume pushed out by a mass-normalised shape, m3 per square
///                   root of kg), net_share (0 cancels .. 1 all outwards), residual, paired_with_base {mode, mac} (null
///                   without a partner; the base is paired with itself)
///   sensitivities[] parameter, tolerance, d_ln_frequency [one per mode]: relative change of frequency per relative
///                   change of the parameter
std::string modes_json(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings,
                       bool with_timings = false);

/// The modes as CSV (RFC 4180: lines end in CRLF, cells with a comma, quote or line break are quoted), one row per
/// variant and mode, header first. An empty cell stands for a figure that is not there.
std::string modes_csv(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings);

/// One cell and one line of an RFC 4180 file.
std::string csv_cell(const std::string &text);
std::string csv_line(const std::vector<std::string> &cells);

}  // namespace stillbox
