// SPDX-License-Identifier: MIT
#include "postprocess/drive_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/band_table.h"
#include "postprocess/drive_bands.h"
#include "postprocess/summary.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "postprocess/third_octave.h"
#include "solver/driver_model.h"

namespace stillbox {
namespace {

constexpr std::size_t modes_shown = 8;

std::string decibels(double level) { return std::isfinite(level) ? fmt::format("{:.1f}", level) : "-"; }
std::string hertz(double f) { return f > 0 ? fmt::format("{:.1f}", f) : "-"; }

std::string mode_words(const DriveSolution &s, const std::vector<int> &modes, double frequency) {
  constexpr double far_below = 0.6;
  std::string out;
  if (!s.modes.modes.empty() && frequency < far_below * s.modes.modes[0].frequency) return "below all modes";
  for (int k : modes)
    out += fmt::format("{}{} ({:.0f} Hz)", out.empty() ? "" : ", ", k + 1, s.modes.modes[k].frequency);
  return out.empty() ? "-" : out;
}

// What the driver does on the box by the textbook and as found.
std::string driver_lines(const DriveSolution &s) {
  std::string out;
  for (std::size_t d = 0; d < s.drivers.size(); ++d) {
    const SmallSignal &v = s.values[d];
    const ClosedBox box = closed_box(v, s.air, s.inside_volume);
    out +=
        paragraph("  ",
                  fmt::format("{}: {:.3g} V; in free air {:.1f} Hz, Qts {:.2f}, Vas {:.1f} l. On a closed box of "
                              "{:.1f} l with walls that stand still, by the textbook: {:.1f} Hz, Qtc {:.2f}.",
                              clean_text(s.drivers[d]), v.voltage, driver_resonance(v), driver_total_q(v),
                              1e3 * equivalent_air_volume(v, s.air), 1e3 * s.inside_volume, box.frequency, box.total_q),
                  table_width);
  }
  const auto [change, at] = largest_impedance_change(s);
  out +=
      paragraph("  ",
                fmt::format("The walls change the impedance of the first driver by {:.2g} ohm at most, at {:.1f} Hz.",
                            change, at),
                table_width);
  return out;
}

// The loudest of all, and where the power goes there.
std::string worst_lines(const DriveSolution &s) {
  std::size_t worst = 0;
  for (std::size_t i = 0; i < s.sound.size(); ++i)
    if (walls_on_sphere(s.sound[i]) > walls_on_sphere(s.sound[worst])) worst = i;
  const double level = walls_on_sphere(s.sound[worst]), f = s.sound[worst].frequency;
  if (!std::isfinite(level)) return "";
  std::string out = fmt::format("At their worst the walls are {:.1f} dB {} the driver all round, at {:.1f} Hz",
                                std::abs(level), level > 0 ? "above" : "below", f);
  const std::vector<int> modes = loudest_modes(s, worst);
  if (!modes.empty())
    out += fmt::format(", mode {} ({})", modes[0] + 1, clean_text(s.modes.modes[std::size_t(modes[0])].label));
  const ForcedAnswer::Powers &p = s.answers[worst].powers;
  const auto part = [&](double power) { return fmt::format("{:.2g} %", 100 * power / p.electrical); };
  out += ". Of the electrical power there " + part(p.coil) + " heats the coil, " + part(p.suspension) +
         " the suspension, " + part(p.walls) + " the walls; " + part(p.radiated) + " is radiated.";
  return paragraph("  ", out, table_width);
}

std::string band_table(const DriveSolution &s) {
  std::vector<std::vector<std::string>> rows;
  for (const DriveBand &b : drive_bands(s))
    rows.push_back({third_octave_name(b.band), decibels(b.on_axis), hertz(b.on_axis_hz), decibels(b.on_sphere),
                    hertz(b.on_sphere_hz), wall_word(s, b.wall), mode_words(s, b.modes, b.on_sphere_hz)});
  return text_table({{"band\nHz"},
                     {"on axis\ndB"},
                     {"\nat Hz"},
                     {"all round\ndB"},
                     {"\nat Hz"},
                     {"loudest\nwall", Align::left},
                     {"loudest modes there", Align::left}},
                    rows, table_width);
}

std::string mode_table_of(const DriveSolution &s) {
  std::vector<std::vector<std::string>> rows;
  for (const DrivenMode &m : driven_modes(s)) {
    if (rows.size() == modes_shown) break;
    const Mode &mode = s.modes.modes[m.mode];
    rows.push_back(
        {std::to_string(m.mode + 1), hertz(mode.frequency), fmt::format("{:.2f}", 100 * mode.numerical_error),
         fmt::format("{:.0f}-{:.0f}", mode.band_low, mode.band_high), fmt::format("{:.4f}", mode.loss_factor),
         fmt::format("{:.5f}", m.radiation_loss), fmt::format("{:.0f}", 1 / std::max(m.loss_factor, 1e-9)),
         decibels(m.on_sphere), hertz(m.frequency), fmt::format("{:.2f}", mode.net_share), clean_text(mode.label)});
  }
  return text_table({{"mode"},
                     {"Hz"},
                     {"mesh\nerror %"},
                     {"band\nHz"},
                     {"loss\nfactor"},
                     {"radi-\nation"},
                     {"Q"},
                     {"all round\ndB"},
                     {"\nat Hz"},
                     {"net\nshare"},
                     {"shape", Align::left}},
                    rows, table_width);
}

std::string wall_table_of(const DriveSolution &s) {
  std::vector<std::vector<std::string>> rows;
  for (const DrivenWall &w : driven_walls(s))
    rows.push_back({wall_word(s, w.wall), decibels(w.on_sphere), hertz(w.frequency), decibels(w.velocity_level),
                    hertz(w.velocity_frequency)});
  return text_table({{"wall", Align::left}, {"all round\ndB"}, {"\nat Hz"}, {"velocity\ndB re 1 nm/s"}, {"\nat Hz"}},
                    rows, table_width);
}

// All round, the worst of each band, variants side by side, and their worst of all.
std::string overview(const std::vector<DriveSolution> &variants) {
  std::vector<BandColumn> columns;
  for (const DriveSolution &variant : variants) {
    BandColumn column{variant.variant_name, {}, {}};
    double most = -1e300;
    for (const DriveBand &b : drive_bands(variant)) {
      column.cells[b.band] = decibels(b.on_sphere);
      most = std::max(most, b.on_sphere);
    }
    column.last = decibels(most);
    columns.push_back(std::move(column));
  }
  return band_table(columns, "all");
}

std::string numbers_line(const DriveSolution &s) {
  return paragraph(
      "  ",
      fmt::format("{} up to {:.0f} Hz, {} shapes for those above, {} rigid motions; sound outside from {} "
                  "solutions on {} elements ({:.1f} a wavelength at the top), error between them {:.2g} %; solved anew "
                  "at {:.1f} Hz: sound on the axis off by {:.2g} %, power by {:+.2g} %.",
                  counted(s.modes.modes.size(), "mode"), s.modes.report.up_to, s.left_out_shapes, s.rigid_shapes,
                  s.sound_solutions, s.surface.elements.size(), s.elements_per_wavelength, 100 * s.sweep_error,
                  s.check.frequency, 100 * s.check.sound_difference, 100 * s.check.power_difference),
      table_width);
}

std::string explanations(const std::vector<DriveSolution> &variants) {
  std::string out = "What these figures are\n";
  const auto say = [&](const std::string &text) { out += paragraph("  ", text, table_width); };
  const auto joined_lines = [](const std::vector<std::string> &lines) {
    std::string text;
    for (const std::string &line : lines) text += (text.empty() ? "" : "; ") + line;
    return text;
  };
  const DriveSolution &s = variants.front();
  say(fmt::format(
      "dB: sound of the walls over that of the driver (cones and ports, as they move on this box) at the same "
      "frequency. On axis: at {:.3g} m before the first driver. All round: mean square over all "
      "directions, from the powers each would radiate alone. The worst of each third-octave band (IEC "
      "61260-1, base ten). A mode's and a wall's: as if it sounded alone; in "
      "part they cancel, above all baffle and back as the box sways.",
      axis_distance));
  say("How much of it is heard hangs on frequency, Q, programme and room: there is no agreed limit. A guide, no "
      "standard: "
      "compare variants rather than levels.");
  say("Frequencies: mesh error is estimated, band that of the boards' tolerances; both shift the peaks. "
      "Loss "
      "factors of the table: of materials and bonds by the energy method, and by radiation; the response itself takes "
      "all losses at each frequency.");
  say("Included: " + joined_lines(drive_includes(variants)) + ".");
  say("Left out: " + joined_lines(drive_leaves_out(variants)) + ".");
  say(fmt::format("By the walls' net volume velocity alone (in the files) the sound is good below {:.0f} Hz (k a = 1).",
                  s.air.speed / (2 * M_PI) /
                      (0.5 * (s.surface.nodes.colwise().maxCoeff() - s.surface.nodes.colwise().minCoeff()).norm())));
  for (const std::string &line : accuracy_lines()) say(line);
  say("A driver on an amplifier can be loud enough to hurt: start measurements with the volume down.");
  return out;
}

}  // namespace

std::vector<std::string> drive_includes(const std::vector<DriveSolution> &variants) {
  const bool waves = std::any_of(variants.begin(), variants.end(), [](const auto &s) { return s.has_standing_waves; });
  return {"walls, braces and joints with the losses of materials and bonds at each frequency",
          "cone, suspension, motor and coil with their reaction on the frame",
          waves ? "the air inside with its standing waves" : "the air inside as one spring",
          "the sound around the box in free space with its reaction on walls and cones",
          "the box's motion as a whole on its feet, or free where nothing holds it"};
}

std::vector<std::string> drive_leaves_out(const std::vector<DriveSolution> &variants) {
  std::vector<std::string> list{
      "room, floor and stand", "cone break-up and the surround's own modes",
      "what grows with level: the motor's and suspension's non-linearity, turbulence in ports",
      "the creep of the suspension and the coil's eddy currents", "crossovers"};
  const auto waves = std::all_of(variants.begin(), variants.end(), [](const auto &s) { return s.has_standing_waves; });
  if (!waves)
    list.push_back(
        "standing waves and lining inside, and the flow through ports (cut-outs without a driver "
        "are closed by rigid plugs)");
  return list;
}

std::string drive_text(const std::vector<DriveSolution> &variants) {
  std::string out;
  for (const DriveSolution &s : variants) {
    out += clean_text(s.case_name) + ": " + clean_text(s.variant_name) + "\n" + driver_lines(s) + worst_lines(s) +
           numbers_line(s);
    out += "\nWalls against the driver, worst of each third octave\n" + band_table(s);
    out += "\nThe loudest modes\n" + mode_table_of(s) + "\nWall by wall, at their worst\n" + wall_table_of(s) + "\n";
  }
  if (variants.size() > 1) out += "Walls against the driver, all round, dB\n" + overview(variants) + "\n";
  return out + explanations(variants);
}

}  // namespace stillbox
