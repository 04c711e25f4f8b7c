// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/commands.h"
#include "solver/knock_solve.h"

namespace stillbox {

// Internal to commands.cpp: the checks of `knock`, its points, and its own table and files.

/// Errors: CaseError for a pulse or a number of points outside the allowed range.
void check_knock(const KnockOptions &knock);

/// The points of a variant: those asked for, or a grid. Errors: CaseError.
std::vector<KnockPoint> knock_points_of(const Structure &structure, const KnockOptions &knock);

/// How one point, or the points of a wall, answer a knock there.
struct KnockLine {
  std::string wall;
  int points = 0;
  double mobility = 0, mobility_frequency = 0;  ///< m/s/N, Hz: greatest drive-point mobility at the modes
  int mobility_point = 0;                       ///< index into KnockModel::points
  int ring_mode = -1;                           ///< the mode that rings strongest there after contact, or -1
  double ring = 0;                              ///< m/s2, its amplitude at the end of contact
  int ring_point = 0;
};

/// One line per wall, or per point when `each_point`. Walls without a point are left out.
std::vector<KnockLine> knock_lines(const KnockSolution &solution, const KnockPulse &pulse, bool each_point);

/// A variant's table for a terminal.
std::string knock_table(const KnockSolution &solution, const KnockPulse &pulse, bool each_point);

/// What the figures include, leave out, and how to knock safely.
std::string knock_cautions();

/// The points as CSV (RFC 4180), a row per variant and point:
///   variant, point (from 1), wall, across_mm, up_mm (from the low corner of the outline), x_mm, y_mm, z_mm,
///   mobility_peak_m_s_n, mobility_peak_hz, ring_mode (from 1), ring_hz, ring_m_s2, ring_loss_factor,
///   ring_decay_time_s, residual_m_n
std::string mobility_csv(const std::vector<KnockSolution> &variants, const KnockPulse &pulse);

/// Motion after the knocks as CSV, half a second from the first touch, 8 up_to instants a second: variant, knocked,
/// answered (points from 1), time_ms, velocity_m_s, acceleration_m_s2 (outwards; what knock_response includes).
/// For points that were asked for: rows grow with the square of their number.
std::string knock_time_csv(const std::vector<KnockSolution> &variants, const KnockPulse &pulse);

/// Everything as JSON (RFC 8259):
///   schema      "stillbox mobility 1"
///   case, nature, units
///   pulse       {shape "half-sine", peak_n, contact_ms}
///   variants[]  name, up_to_hz, walls [{name, area_m2}], points [{wall, place_mm [across, up], world_mm [x, y, z],
///               normal}], modes [{mode, frequency_hz, loss_factor, decay_time_s, pole_per_s [re, im]}], rigid_modes,
///               frequency_hz [..], mobility [per point: {re [..], im [..]}, m/s/N, drive point, force and motion along
///               the outward normal], transfer_mobility [{knocked, answered (points from 1), re [..], im [..]}] between
///               points that were asked for, truncation_floor [per point: m/s/N, null from up_to on]
/// Frequencies: 24 to the octave from 20 Hz (or a tenth of up_to) to up_to and, for each mode, its own and both
/// half-power points. Spectra are those of the steady state (Losses::structural).
std::string mobility_json(const std::vector<KnockSolution> &variants, const KnockPulse &pulse, bool with_transfer);

}  // namespace stillbox
