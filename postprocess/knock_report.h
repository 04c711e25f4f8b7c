// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/deadness.h"
#include "solver/knock_model.h"

namespace stillbox {

struct KnockSounds;

/// How the walls of all variants ring after a knock, for a terminal: a row per wall and variant (lowest, strongest and
/// longest ring, energy left, all of the ringing), decay times by third-octave band with the variants side by side,
/// and in words what the figures say and what changes against the first variant. No line wider than table_width.
/// Models and results belong together one by one, the first is the base.
std::string knock_text(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse);

/// Throws the OutputError that write_knock_files would throw for a folder that cannot be written or a missing gnuplot.
/// To be called before long work; a missing folder is created.
void check_knock_files(const std::string &folder);

/// Writes all files below into `folder` and returns their names; files are whole or not there. The figures and maps
/// and the sound are written before gnuplot is asked, so they are there when it fails. The same input gives the same
/// bytes. Errors: OutputError, for the folder and a missing gnuplot before any work.
///   knock.json, knock.csv         the figures, see below
///   knock-response.svg, .png      response against frequency, all variants (knock_pictures.h)
///   VARIANT-decay.svg, .png       decay as a waterfall
///   VARIANT-knock-map.svg         where a knock rings most (knock_map.h)
///   knock-equal-force.wav, knock-matched.wav   the sound of the knocks (knock_sound.h); not for free boards
std::vector<std::string> write_knock_files(const std::string &folder, const std::vector<KnockModel> &models,
                                           const std::vector<ModalResult> &results, const KnockPulse &pulse);

/// The figures as JSON (RFC 8259, UTF-8). Mode numbers count from 1; a figure that is not there is null.
///   schema       "stillbox knock 1"; the number rises when a key changes its meaning or goes
///   case, nature (a reminder that this is a prediction), definitions {of the figures}
///   pulse        {shape "half-sine", peak_n, contact_ms}
///   variants[]   name, up_to_hz, modes[] {mode, frequency_hz, loss_factor, q, decay_time_s, label},
///                points[] {wall, place_mm [along the board's first axis, second], world_mm, ring_energy_level_db},
///                all_walls, walls[] {wall, points, area_m2, lowest_heard, strongest, longest, hidden_by_pulse (each
///                {mode, frequency_hz, acceleration_level_db, q, decay_time_s} or null), ring_energy_level_db,
///                energy_left_percent {after_20_ms, after_100_ms}, centre_time_ms, time_to_60_db_s,
///                acceleration_level_db [one per mode], bands[] {third_octave_hz, middle_hz, modes, decay_time_t20_s,
///                decay_time_t30_s, curvature_percent, bent, energy_share}}
///   sound        {distance_m, equal_force_pa_full_scale: the pressure of full scale in knock-equal-force.wav,
///                point_source_limit_hz, knocks[] {variant, wall, place_mm, off_spot_mm, start_s, peak_pressure_pa,
///                a_weighted_level_db, matched_gain_db}} or null
std::string knock_json(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse, const KnockSounds &sounds);

/// The figures as CSV (RFC 4180), one row per variant, wall and figure, header first:
///   variant, wall ("all walls" or a wall), what ("wall", "mode" or "band"), number (of the mode from 1, or the
///   third-octave band's nominal Hz), frequency_hz, acceleration_level_db, loss_factor, q, decay_time_s (of a band
///   T20), curvature_percent, heard ("yes": within 30 dB of the strongest), ring_energy_level_db, left_20ms_percent,
///   left_100ms_percent, centre_time_ms, time_to_60_db_s
/// Cells that do not belong to a row's kind are empty.
std::string knock_csv(const std::vector<Deadness> &variants);

}  // namespace stillbox
