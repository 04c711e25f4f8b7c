// SPDX-License-Identifier: MIT
#include "postprocess/knock_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/length.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "solver/knock_points.h"
#include "solver/knock_response.h"

namespace stillbox {
namespace {

constexpr double least_contact = 0.0001, most_contact = 0.05;  // s
constexpr double least_peak = 0.1, most_peak = 2000;           // N
constexpr int most_points = 2000;

std::string place_text(const Eigen::Vector2d &p) {
  return fmt::format("[{}, {}]", number_text(std::round(1e4 * p.x()) / 10), number_text(std::round(1e4 * p.y()) / 10));
}

Eigen::VectorXd mode_frequencies(const KnockModel &m) { return m.poles.imag() / (2 * M_PI); }

}  // namespace

void check_knock(const KnockOptions &k) {
  const auto refuse = [](const char *option, double value, double low, double high, const char *unit,
                         const char *advice) {
    // Written so that a value that is not a number is refused too.
    if (value >= low && value <= high) return;
    throw CaseError(fmt::format("{} {}: allowed {} .. {} {}; {}", option, number_text(value), number_text(low),
                                number_text(high), unit, advice));
  };
  refuse("--contact-ms", 1e3 * k.pulse.contact, 1e3 * least_contact, 1e3 * most_contact, "ms",
         "a knuckle on wood touches for some 2 to 5 ms");
  refuse("--peak-n", k.pulse.peak, least_peak, most_peak, "N", "a knuckle knocks with some 20 N");
  refuse("--points", k.points, 1, most_points, "", "200 are the default");
}

std::vector<KnockPoint> knock_points_of(const Structure &s, const KnockOptions &k) {
  if (k.at.empty()) return knock_grid(s, k.points);
  std::vector<KnockPoint> points;
  for (const std::string &text : k.at) points.push_back(knock_point(s, read_knock_spot(text)));
  return points;
}

std::vector<KnockLine> knock_lines(const KnockSolution &solution, const KnockPulse &pulse, bool each_point) {
  const KnockModel &m = solution.model;
  const Eigen::VectorXd frequencies = mode_frequencies(m);
  const Eigen::MatrixXd mobility = drive_point_spectra(m, Motion::velocity, frequencies).cwiseAbs();
  std::vector<KnockLine> lines;
  for (int p = 0; p < int(m.points.size()); ++p) {
    const std::string &wall = solution.modes.faces.at(m.points[p].face).board;
    if (each_point || lines.empty() || lines.back().wall != wall) lines.push_back({wall, 0, 0, 0, p, -1, 0, p});
    KnockLine &line = lines.back();
    ++line.points;
    const Eigen::VectorXd rings = ring_amplitudes(m, pulse, p, p);
    for (int k = 0; k < frequencies.size(); ++k) {
      if (mobility(p, k) > line.mobility) {
        line.mobility = mobility(p, k);
        line.mobility_frequency = frequencies[k];
        line.mobility_point = p;
      }
      if (rings[k] > line.ring) {
        line.ring = rings[k];
        line.ring_mode = k;
        line.ring_point = p;
      }
    }
  }
  return lines;
}

std::string knock_table(const KnockSolution &solution, const KnockPulse &pulse, bool each_point) {
  const KnockModel &m = solution.model;
  std::string out = clean_text(m.case_name) + ": " + clean_text(m.variant_name) + "\n";
  out += paragraph("  ",
                   fmt::format("Knocks of {} N for {} ms at {}, answered there; {} up to {} Hz{}.",
                               number_text(pulse.peak), number_text(1e3 * pulse.contact),
                               counted(m.points.size(), "point"), counted(std::size_t(m.poles.size()), "mode"),
                               number_text(m.up_to), solution.modes.exact_damping ? ", damping solved exactly" : ""),
                   table_width);
  std::vector<std::vector<std::string>> rows;
  for (const KnockLine &line : knock_lines(solution, pulse, each_point)) {
    std::vector<std::string> row{shorten(clean_text(line.wall), 28)};
    if (!each_point) row.push_back(std::to_string(line.points));
    row.push_back(fmt::format("{:.3g}", 1e3 * line.mobility));
    row.push_back(fmt::format("{:.1f}", line.mobility_frequency));
    row.push_back(place_text(m.points[line.mobility_point].place));
    if (line.ring_mode < 0) {
      row.insert(row.end(), 5, "-");
    } else {
      const Mode &mode = solution.modes.modes[line.ring_mode];
      row.push_back(fmt::format("{:.1f}", mode.frequency));
      row.push_back(fmt::format("{:.3g}", line.ring));
      row.push_back(fmt::format("{:.1f}", mode.quality));
      row.push_back(fmt::format("{:.3f}", mode.decay_time));
      if (!each_point) row.push_back(place_text(m.points[line.ring_point].place));
    }
    rows.push_back(row);
  }
  std::vector<Column> columns{{"wall", Align::left}};
  if (!each_point) columns.push_back({"points"});
  columns.insert(columns.end(), {{"greatest mobility\nmm/s per N"},
                                 {"\nHz"},
                                 {"\nat mm", Align::left},
                                 {"strongest ring\nHz"},
                                 {"\nm/s2"},
                                 {"\nQ"},
                                 {"\nT60 s"}});
  if (!each_point) columns.push_back({"\nat mm", Align::left});
  return out + text_table(columns, rows, table_width);
}

std::string knock_cautions() {
  std::string out = "What these figures are\n";
  const auto say = [&](const std::string &text) { out += paragraph("  ", text, table_width); };
  say("A prediction, not a measurement. Mobility: velocity per newton at the place of the force, peak value over the "
      "modes. Strongest ring: the mode with the largest acceleration right after the contact, at the knocked place; a "
      "real knuckle's force and contact differ from knock to knock, so compare variants rather than levels.");
  say("Force and answer are means over a fingertip's patch of 10 mm. at mm: across and up from the low corner of the "
      "wall's outline. Losses of materials and bonds only: what the walls radiate, the air inside and the hand's own "
      "damping are left out; modes above the top frequency count as a flexibility.");
  say("Try it with a knuckle, not a hammer: wood dents, and a powered box keeps its cover shut.");
  return out;
}

}  // namespace stillbox
