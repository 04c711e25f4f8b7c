// SPDX-License-Identifier: MIT
#include "postprocess/drive_command.h"

#include <fmt/format.h>

#include <cmath>

#include "mesh/inside_mesh.h"
#include "mesh/length.h"
#include "mesh/solids.h"
#include "postprocess/drive_files.h"
#include "postprocess/drive_pictures.h"
#include "postprocess/file_words.h"
#include "postprocess/safe_file.h"
#include "postprocess/solve_variants.h"
#include "solver/drive_air.h"

namespace stillbox {
namespace {

constexpr double least_top = 50;                            // Hz
constexpr double least_voltage = 0.01, most_voltage = 100;  // V
constexpr int least_frequencies = 20, most_frequencies = 5000;
constexpr std::size_t most_surfaces = 50;

void refuse_outside(const char *option, double value, double low, double high, const char *unit, const char *advice) {
  // Written so that a value that is not a number is refused too.
  if (value >= low && value <= high) return;
  throw CaseError(fmt::format("{} {}: allowed {} .. {} {}; {}", option, number_text(value), number_text(low),
                              number_text(high), unit, advice));
}

// Moduli are asked for at every frequency of the response, and of the modes above it.
void check_low_tables(const CaseFile &file, const Structure &s) {
  for (const Board &board : s.boards)
    for (const Layer &layer : board.layers) {
      const Material &m = s.materials[layer.material];
      if (!m.viscoelastic || m.viscoelastic->outside == Viscoelastic::Outside::hold) continue;
      const double low = frequency_range(*m.viscoelastic, s.temperature).first;
      if (low <= drive_from) continue;
      throw CaseError(fmt::format(
          "{}: key material.{}.complex_modulus.frequency_hz: at {:.3g} degrees C the table begins at {:.4g} "
          "Hz; allowed for drive: from {:.4g} Hz on; add rows or set outside = \"hold\"",
          file.path, m.name, s.temperature, low, drive_from));
    }
}

}  // namespace

bool can_be_driven(const Structure &s) {
  return s.cabinet ||
         (s.solids && s.solids->step_file.empty() && (s.solids->chamber_volume.size() == 1 || has_inside_mesh(s)));
}

void check_drive(const CaseFile &file, const std::vector<const Structure *> &variants, const RunOptions &options,
                 const DriveOptions &drive) {
  refuse_outside("--up-to", options.up_to, least_top, 20000 / modes_beyond, "Hz",
                 "the response starts at 20 Hz, and modes are found to 1.2 times the top");
  refuse_outside("--frequencies", drive.frequencies, least_frequencies, most_frequencies, "", "200 are the default");
  if (drive.voltage != 0)
    refuse_outside("--voltage", drive.voltage, least_voltage, most_voltage, "V", "2.83 V is 1 W into 8 ohm");
  for (double f : drive.surfaces)
    refuse_outside("--surface-hz", f, drive_from, options.up_to, "Hz", "give frequencies within the response");
  if (drive.surfaces.size() > most_surfaces)
    throw CaseError(fmt::format("--surface-hz: {} frequencies; allowed up to {}; ask for fewer", drive.surfaces.size(),
                                most_surfaces));
  if (!drive.surfaces.empty() && options.out.empty())
    throw CaseError("--surface-hz writes files; allowed only with --out; add --out FOLDER");
  for (const Structure *s : variants) {
    if (s->solids && !can_be_driven(*s))
      throw CaseError(
          fmt::format("{}: variant \"{}\": {}; allowed for drive: a box ([cabinet]), a [shape] of four upright "
                      "walls, or another one with one room inside, whose air is one spring; {}",
                      file.path, s->variant_name,
                      s->solids->step_file.empty() ? fmt::format("{} chambers", s->solids->chamber_volume.size())
                                                   : "a STEP file holds the wood only, the room inside is not known",
                      s->solids->step_file.empty() ? "leave the divider out, or give it an opening"
                                                   : "describe the cabinet by [shape] or [cabinet]"));
    if (!s->cabinet && !s->solids)
      throw CaseError(
          fmt::format("{}: no [cabinet]; allowed for drive: a cabinet with a driver in one of its walls; "
                      "free boards have no inside to drive",
                      file.path));
    if (driven_drivers(*s).empty())
      throw CaseError(fmt::format(
          "{}: variant \"{}\": no [[driver]] in an outer wall has small-signal parameters; allowed for drive: one or "
          "more; add moving_mass_g, compliance_mm_n, mechanical_q, force_factor_tm, coil_resistance_ohm and "
          "cone_area_cm2 from its data sheet",
          file.path, s->variant_name));
    cabinet_surface(*s, outside_air(s->temperature), options.up_to);  // refuses too high a top frequency
    check_low_tables(file, *s);
  }
}

std::vector<DriveSolution> drive_variants(const std::vector<const Structure *> &variants, const RunOptions &options,
                                          const DriveOptions &drive, const ProgressLine &line) {
  return solve_variants<DriveSolution>(variants, options, line, [&](std::size_t v, const SolveOptions &o) {
    DriveRequest request;
    request.up_to = options.up_to;
    request.points = drive.frequencies;
    request.voltage = drive.voltage;
    request.at = drive.surfaces;
    request.solve = o;
    return solve_drive(*variants[v], request, air_inside(*variants[v], options.up_to, options.fineness));
  });
}

void check_drive_files(const std::string &folder) {
  check_writable(folder);
  check_gnuplot();
}

void write_drive_files(const std::string &folder, const std::vector<DriveSolution> &variants) {
  const auto put = [&](const std::string &name, const std::string &bytes) { write_file(folder + "/" + name, bytes); };
  put("drive.json", drive_json(variants));
  put("drive.csv", drive_csv(variants));
  const Plot walls = drive_walls_plot(variants), impedance = drive_impedance_plot(variants);
  put("drive-walls.svg", walls.svg);
  put("drive-walls.png", walls.png);
  put("drive-impedance.svg", impedance.svg);
  put("drive-impedance.png", impedance.png);
  std::vector<std::string> names;
  for (const DriveSolution &s : variants) names.push_back(s.variant_name);
  const std::vector<std::string> words = file_words(names);
  for (std::size_t v = 0; v < variants.size(); ++v)
    for (const DriveSurface &surface : variants[v].surfaces)
      write_drive_surface(fmt::format("{}/{}-{:.6g}hz-drive.vtu", folder, words[v], surface.frequency), variants[v],
                          surface);
}

}  // namespace stillbox
