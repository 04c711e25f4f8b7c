// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/drive_solve.h"

namespace stillbox {

/// Everything as JSON (RFC 8259, UTF-8). Amplitudes are rms; complex ones {re, im} to exp(+i w t). Not finite is null.
///   schema       "stillbox drive 1"; the number rises when a key changes its meaning or goes
///   case, nature (a reminder that this is a prediction), includes, leaves_out, units
///   variants[]   name, up_to_hz, air {density_kg_m3, sound_speed_m_s}, inner_volume_l, point_mm [x, y, z] on the axis,
///                drivers[] {name, voltage_v, moving_mass_g, compliance_mm_n, mechanical_q, electrical_q,
///                force_factor_tm, coil_resistance_ohm, coil_inductance_mh, cone_area_cm2, free_air {frequency_hz,
///                total_q, equivalent_volume_l}, closed_box {frequency_hz, total_q}: by the textbook},
///                outside {solutions, elements, elements_per_wavelength, patterns, held_out_error, check {frequency_hz,
///                sound_difference, power_difference}: relative},
///                modes[] {mode, frequency_hz, mesh_error_percent, band_hz, loss_factor, radiation_loss_factor,
///                net_share, label, walls_re_driver_db (alone, all round), at_hz}, loudest first, walls[] {wall,
///                walls_re_driver_db, at_hz, velocity_level_db, velocity_at_hz}, bands[] {third_octave_hz, on_axis_db,
///                on_axis_hz, all_round_db, all_round_hz, wall, modes}, frequency_hz [..], and per frequency:
///                on_axis_pa {total, walls, cones, ports: {re [..], im [..]}}, all_round_pa {total, driver, walls,
///                cones, ports, wall {baffle .. bottom}}, net_volume_pa (walls by their net volume velocity, at 1 m),
///                wall_velocity_m_s {baffle ..}, driver[] {impedance_ohm, impedance_walls_still_ohm, current_a,
///                cone_m: {re, im}}, power_w {electrical, coil, suspension, walls, lining, ports, radiated}
std::string drive_json(const std::vector<DriveSolution> &variants);

/// Levels over frequency as CSV (RFC 4180), a row per variant and frequency. Levels in dB re 20 uPa: on the axis at the
/// point, all round at 1 m.
///   variant, frequency_hz, on_axis_total_db, on_axis_driver_db, on_axis_walls_db, on_axis_walls_re_driver_db,
///   all_round_total_db, all_round_driver_db, all_round_cones_db, all_round_ports_db, all_round_walls_db,
///   all_round_walls_re_driver_db, net_volume_walls_db, all_round_baffle_db .. all_round_bottom_db, velocity_baffle_db
///   .. (re 1 nm/s), impedance_ohm, impedance_degrees, impedance_walls_still_ohm (of the first driver), electrical_w,
///   walls_w, radiated_w
std::string drive_csv(const std::vector<DriveSolution> &variants);

/// The outside of the box at one frequency as .vtu: quadrilaterals with cell arrays "velocity re", "velocity im" (m/s
/// outwards, rms), "pressure re", "pressure im" (Pa, rms), "velocity level dB re 1 nm/s", "wall". Errors: OutputError.
void write_drive_surface(const std::string &path, const DriveSolution &solution, const DriveSurface &surface);

}  // namespace stillbox
