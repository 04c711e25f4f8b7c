// SPDX-License-Identifier: MIT
// The ringing after a knock in report.html: the deadness sheet.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "postprocess/html.h"
#include "postprocess/knock_map.h"
#include "postprocess/knock_pictures.h"
#include "postprocess/report_sections.h"
#include "postprocess/text.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

std::string finite(double x, int digits) { return std::isfinite(x) ? fmt::format("{:.{}f}", x, digits) : "-"; }

std::string percent(double part) { return part < 0.001 ? "&lt;0.1" : fmt::format("{:.2g}", 100 * part); }

std::vector<std::string> wall_row(const std::string &wall, const Deadness &d, const WallDeadness &w) {
  std::vector<std::string> row{wall, html_text(d.variant_name)};
  if (w.strongest < 0) {
    row.resize(11, "-");
    return row;
  }
  const RingMode &strong = d.modes[std::size_t(w.strongest)], &slow = d.modes[std::size_t(w.longest)];
  row.insert(row.end(),
             {finite(strong.frequency, 0), finite(w.level[std::size_t(w.strongest)], 1), finite(strong.decay_time, 2),
              finite(slow.frequency, 0), finite(slow.decay_time, 2), percent(w.left_20ms), percent(w.left_100ms),
              finite(w.time_to_60, 2), finite(w.energy_level, 1)});
  return row;
}

std::string wall_table(const std::vector<Deadness> &dead) {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::string> walls;
  for (const Deadness &d : dead)
    for (const WallDeadness &w : d.walls)
      if (std::find(walls.begin(), walls.end(), w.wall) == walls.end()) walls.push_back(w.wall);
  if (walls.size() != 1)
    for (const Deadness &d : dead) rows.push_back(wall_row("all walls", d, d.all));
  for (const std::string &wall : walls)
    for (const Deadness &d : dead)
      for (const WallDeadness &w : d.walls)
        if (w.wall == wall) rows.push_back(wall_row(html_text(wall), d, w));
  return html_table("How the walls ring after a knock",
                    {{"wall", Align::left},
                     {"variant", Align::left},
                     {"strongest, Hz"},
                     {"dB"},
                     {"T60, s"},
                     {"longest heard, Hz"},
                     {"T60, s"},
                     {"left after 20 ms, %"},
                     {"after 100 ms, %"},
                     {"time to 60 dB, s"},
                     {"ring energy, dB"}},
                    rows, "dense grouped");
}

std::string band_table(const std::vector<Deadness> &dead) {
  std::vector<HtmlColumn> columns{{"third octave, Hz"}};
  std::map<int, std::vector<std::string>> cells;
  for (std::size_t v = 0; v < dead.size(); ++v) {
    columns.push_back({dead[v].variant_name});
    for (const BandDecay &band : dead[v].all.bands)
      cells.emplace(band.band, std::vector<std::string>(dead.size(), "-")).first->second[v] =
          finite(band.fit.t20, 3) + (band.fit.bent ? "*" : "");
  }
  std::vector<std::vector<std::string>> rows;
  for (const auto &[band, row] : cells) {
    rows.push_back({html_text(third_octave_name(band))});
    rows.back().insert(rows.back().end(), row.begin(), row.end());
  }
  return rows.empty() ? "" : html_table("Decay time by third-octave band, all walls, s", columns, rows);
}

std::string words(const std::vector<Deadness> &dead) {
  std::string out;
  for (std::size_t v = 0; v < dead.size(); ++v) {
    std::string text = html_list(deadness_words(dead[v]));
    if (v > 0)
      text += "<p>Against " + html_text(dead[0].variant_name) + ":</p>\n" + html_list(change_words(dead[0], dead[v]));
    out += html_details(clean_text(dead[v].variant_name) + ", wall by wall in words", text);
  }
  return out;
}

std::string maps(const ReportData &data) {
  const MapScale scale = map_scale(data.models, data.pulse);
  std::string out = "<div class=\"gallery two\">\n";
  for (std::size_t v = 0; v < data.results.size(); ++v)
    out += html_figure(html_picture(knock_map(data.models[v], data.results[v], data.pulse, scale),
                                    data.results[v].variant_name +
                                        ": the walls unfolded, darker where a knock makes the place itself ring more"),
                       "<strong>" + html_text(data.results[v].variant_name) +
                           "</strong>: where a knock rings most, to one scale for all variants");
  return out + "</div>\n";
}

bool anything_rings(const ReportData &data) {
  return std::any_of(data.models.begin(), data.models.end(), [](const KnockModel &m) { return m.poles.size() > 0; });
}

}  // namespace

std::string ringing_section(const ReportData &data) {
  std::string out = html_paragraph(
      fmt::format("A knuckle's knock, a half-sine of {:.3g} N and {:.3g} ms (common practice, no source), all over the "
                  "walls; means over places and knocks.",
                  data.pulse.peak, 1e3 * data.pulse.contact));
  if (!anything_rings(data)) return html_section("ringing", "After a knock", out + html_paragraph("Nothing rings."));
  out += wall_table(data.dead);
  out += html_paragraph(
      "dB: of the strongest mode its acceleration just after the knock, re 1 um/s2; of all of the ringing squared "
      "velocity over time, re (1 nm/s)^2 1 s (references of ISO 1683). Longest heard: among the modes within 30 dB of "
      "the "
      "strongest, a guide, no standard. Left: part of the energy.",
      "small");
  out += html_figure(
      html_picture(response_plot(data.whole, data.results, false).svg,
                   "Velocity level of the walls for a force of 1 N over frequency, all variants; peaks are the modes"),
      "Response to a force of 1 N where it pushes, root mean square over the knocked places.", "plot");
  out += maps(data) + band_table(data.dead);
  out += html_paragraph(
      "Decay from -5 to -25 dB stretched to 60 dB, from the modes in the band; *: bent, no single time tells it; -: no "
      "mode.",
      "small");
  out += words(data.dead);
  out += html_paragraph("The sound of these knocks: stillbox knock " + data.case_file + " --out FOLDER.", "small");
  return html_section("ringing", "After a knock", out);
}

}  // namespace stillbox
