// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/structure.h"
#include "postprocess/change_band.h"
#include "postprocess/deadness.h"
#include "postprocess/view_mesh.h"
#include "solver/drive_solve.h"
#include "solver/knock_model.h"

namespace stillbox {

/// Everything report.html shows, of all variants; the first is the base. Vectors belong together one by one.
struct ReportData {
  std::string case_name, note, case_file;  ///< case_file: the file's name without its folder
  double up_to = 0, fineness = 1;
  int degree = 3;
  KnockPulse pulse;
  int most_pictures = 6;  ///< of a variant

  std::vector<const Structure *> structures;
  std::vector<ModalResult> results;  ///< without the field; without the modes in which the box rides on its feet
  std::vector<KnockModel> models;    ///< likewise
  std::vector<KnockModel> whole;     ///< with all modes, for the response
  std::vector<ViewMesh> views;
  std::vector<std::string> drawings;        ///< three views as SVG; empty where there is no cabinet
  std::vector<std::vector<double>> riding;  ///< frequencies of the modes left out, Hz
  std::vector<std::vector<int>> numbers;    ///< of the modes, from 1, as `modes` counts them

  std::vector<DriveSolution> drive;  ///< of the variants with a driven driver; empty when it was not asked for
  bool can_drive = false;            ///< a variant has small-signal values

  bool has_place = false;             ///< the case has a [place] table
  std::string place_json, place_svg;  ///< what an earlier `place` left in the folder; empty: nothing that fits
  std::string place_missing;          ///< why not

  // Made by complete_report from the above.
  std::vector<Pairing> pairings;
  std::vector<Deadness> dead;
  std::vector<std::vector<int>> shown;  ///< modes (from 0) that matter, by rising frequency
};

/// Share of each mode in all of the ringing after a knock (all walls), each mode taken alone, by squared velocity over
/// time: v^2 T60 with v = a / (2 pi f). Sums to 1; empty or all 0 when nothing rings.
std::vector<double> ring_shares(const Deadness &dead);

/// The modes that matter: the lowest one and those with the largest shares of the ringing, `most` in all, by rising
/// frequency.
std::vector<int> modes_that_matter(const Deadness &dead, std::size_t modes, std::size_t most);

/// Fills in the last block.
void complete_report(ReportData &data);

/// One variant against the base.
struct Verdict {
  bool has_modes = false;       ///< both have a mode
  FrequencyChange first;        ///< of the lowest mode, whatever its shape
  ModeChanges changes;          ///< of the base's modes, by shape
  double mass = 0, volume = 0;  ///< difference, kg and m3
  double ringing = 0;           ///< difference of WallDeadness::energy_level of all walls, dB
  double time_ratio = 1;        ///< of the times until all of the ringing has fallen by 60 dB
  double walls_re_driver = 0;   ///< difference of the worst all-round level of the walls re the driver, dB
  bool has_drive = false;       ///< both were driven
};
Verdict verdict_of(const ReportData &data, std::size_t variant);

/// The solution of a variant with its driver driven, or null.
const DriveSolution *drive_of(const ReportData &data, std::size_t variant);
/// Worst level of the walls re the driver, all round, dB.
double worst_walls(const DriveSolution &drive);

/// What the figures say of one variant, a sentence each.
std::vector<std::string> verdict_words(const ReportData &data, std::size_t variant);

/// As JSON (RFC 8259): schema "stillbox report 1", case, nature, file, bytes, view {included, why_not}, variants[]
/// {name, mass_kg, inner_volume_l, modes, first_mode_hz, first_mode_band_hz, ring_energy_level_db, time_to_60_db_s,
/// riding_modes_hz (on its feet, left out of all else), pictured_modes (from 1, as `modes` counts them), against_base
/// {first_mode_percent, give_or_take_percent, beyond_tolerances, higher, lower, within, gone, ring_energy_change_db,
/// time_ratio, walls_re_driver_db} or null}, not_on_page[] {what, how}. Not finite is null.
std::string report_json(const ReportData &data, const std::string &file, std::size_t bytes);

/// "6 modes in which it rides on its feet, 6.6 to 70.9 Hz, are left out"; empty when there are none.
std::string riding_words(const ReportData &data, std::size_t variant);

/// What the page leaves out and how to get it: pairs of text.
std::vector<std::pair<std::string, std::string>> report_left_out(const ReportData &data);

}  // namespace stillbox
