// SPDX-License-Identifier: MIT
// In report.html: the walls beside the driver, and the places of a brace.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <map>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "postprocess/drive_bands.h"
#include "postprocess/drive_pictures.h"
#include "postprocess/drive_report.h"
#include "postprocess/html.h"
#include "postprocess/report_sections.h"
#include "postprocess/text.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

using Json = nlohmann::json;

std::string finite(double x, int digits) { return std::isfinite(x) ? fmt::format("{:.{}f}", x, digits) : "-"; }

std::string left_out_words(const ReportData &data, const std::string &what) {
  for (const auto &[name, how] : report_left_out(data))
    if (name == what) return html_paragraph("Left out: " + how + ".", "notice");
  return "";
}

std::string band_table(const std::vector<DriveSolution> &drive) {
  std::vector<HtmlColumn> columns{{"third octave, Hz"}};
  std::map<int, std::vector<std::string>> cells;
  for (std::size_t v = 0; v < drive.size(); ++v) {
    columns.push_back({drive[v].variant_name});
    for (const DriveBand &band : drive_bands(drive[v]))
      cells.emplace(band.band, std::vector<std::string>(drive.size(), "-")).first->second[v] =
          finite(band.on_sphere, 1);
  }
  std::vector<std::vector<std::string>> rows;
  for (const auto &[band, row] : cells) {
    rows.push_back({html_text(third_octave_name(band))});
    rows.back().insert(rows.back().end(), row.begin(), row.end());
  }
  return html_table("Walls over driver, all round, worst of each third octave, dB", columns, rows);
}

std::string loudest_table(const std::vector<DriveSolution> &drive) {
  constexpr std::size_t most = 4;
  std::vector<std::vector<std::string>> rows;
  for (const DriveSolution &s : drive) {
    std::size_t count = 0;
    for (const DrivenMode &m : driven_modes(s)) {
      if (count++ == most) break;
      const Mode &mode = s.modes.modes[std::size_t(m.mode)];
      rows.push_back({html_text(s.variant_name), fmt::format("{}", m.mode + 1), html_text(mode.label),
                      finite(mode.frequency, 0), finite(m.on_sphere, 1), finite(m.loss_factor, 4)});
    }
  }
  return html_table("The loudest modes, each as if alone",
                    {{"variant", Align::left},
                     {"mode"},
                     {"shape", Align::left},
                     {"Hz"},
                     {"re driver, all round, dB"},
                     {"loss factor with radiation"}},
                    rows, "grouped");
}

std::string wall_table(const std::vector<DriveSolution> &drive) {
  std::vector<HtmlColumn> columns{{"wall", Align::left}};
  const std::vector<std::string> words = wall_words(drive);
  std::vector<std::vector<std::string>> rows;
  for (const std::string &word : words) rows.push_back({html_text(word)});
  for (const DriveSolution &s : drive) {
    columns.push_back({s.variant_name});
    for (auto &row : rows) row.push_back("-");
    for (const DrivenWall &wall : driven_walls(s))
      rows[std::size_t(std::find(words.begin(), words.end(), wall_word(s, wall.wall)) - words.begin())].back() =
          fmt::format("{} at {} Hz", finite(wall.on_sphere, 1), finite(wall.frequency, 0));
  }
  return html_table("Each wall alone over the driver, at its worst, all round, dB", columns, rows);
}

std::string number_of(const Json &j, const char *key, int digits) {
  return j.contains(key) && j[key].is_number() ? fmt::format("{:.{}f}", j[key].get<double>(), digits) : "-";
}

std::string text_of(const Json &j, const char *key) {
  return j.contains(key) && j[key].is_string() ? j[key].get<std::string>() : "";
}

// A count of a file that need not be ours: a figure beyond all whole numbers must not become one.
int count_of(const Json &j) {
  constexpr std::uint64_t most = 1000000;
  if (!j.is_number_unsigned() || j.get<std::uint64_t>() > most) throw std::runtime_error("no count");
  return j.get<int>();
}

std::string candidate_words(const Json &c) {
  std::string out = text_of(c, "line_of");
  if (c.contains("at_mm")) out += (out.empty() ? "at " : ", at ") + fmt::format("{:g} mm", c["at_mm"].get<double>());
  const std::string rule = text_of(c, "rule");
  return html_text(rule.empty() ? out : out + " (" + rule + ")");
}

std::string place_tables(const ReportData &data) {
  constexpr int most = 8;
  const Json j = Json::parse(data.place_json);
  const std::string unit = j.contains("units") ? text_of(j["units"], "value") : "";
  std::vector<std::pair<int, std::vector<std::string>>> ranked;
  int refused = 0;
  for (const Json &c : j.at("candidates")) {
    if (!c.contains("rank")) {
      ++refused;
      continue;
    }
    const int rank = count_of(c["rank"]);
    if (rank > most && text_of(c, "rule").empty()) continue;
    ranked.push_back({rank,
                      {std::to_string(rank), candidate_words(c), number_of(c, "value", 2), number_of(c, "mass_kg", 2),
                       number_of(c, "inner_volume_l", 2)}});
  }
  std::sort(ranked.begin(), ranked.end(), [](const auto &a, const auto &b) { return a.first < b.first; });
  std::vector<std::vector<std::string>> rows;
  for (auto &[rank, row] : ranked) rows.push_back(row);
  const std::string aim = text_of(j, "aim");
  std::string out =
      html_paragraph(fmt::format("Aim: {}. {} candidates, {} of them refused, changed from variant {}.",
                                 aim.empty() ? "-" : aim, j.at("candidates").size(), refused, text_of(j, "variant")));
  out += html_table(
      "The best places, and what rules of thumb are worth",
      {{"rank"}, {"place", Align::left}, {aim + (unit.empty() ? "" : ", " + unit)}, {"mass, kg"}, {"inside, litres"}},
      rows);
  std::vector<std::vector<std::string>> checks;
  for (const Json &c : j.at("checks")) {
    std::string wins = "-";
    if (c.contains("winner_ahead") && c["winner_ahead"].is_object())
      wins = fmt::format("in {} of {} boxes", count_of(c["winner_ahead"].at("boxes")),
                         count_of(c["winner_ahead"].at("of")));
    checks.push_back({html_text(text_of(c, "name")), html_text(text_of(c, "candidate")), number_of(c, "value", 2),
                      c.contains("reduced_off_percent") ? number_of(c["reduced_off_percent"], "worst", 3) : "-", wins});
  }
  return out + html_table("Solved again in full, and in how many boxes drawn within the tolerances the winner wins",
                          {{"which", Align::left},
                           {"place", Align::left},
                           {aim + (unit.empty() ? "" : ", " + unit)},
                           {"reduced model off by, %"},
                           {"winner better", Align::left}},
                          checks);
}

}  // namespace

std::string drive_section(const ReportData &data) {
  if (!data.structures[0]->cabinet && !data.structures[0]->solids) return "";
  const char *heading = "The walls beside the driver";
  if (data.drive.empty())
    return html_section("drive", heading, left_out_words(data, "The walls' sound beside the driver's"));
  std::string out = html_figure(
      html_picture(
          drive_walls_plot(data.drive, false).svg,
          "Level of driver and walls over frequency, and the walls over the driver; the table holds the figures"),
      "Above: on the axis, driver and walls. Below: the walls over the driver, all round.", "plot");
  out += band_table(data.drive) + loudest_table(data.drive) + wall_table(data.drive);
  out += html_paragraph(
      "dB: the sound of the walls over that of cones and ports at the same frequency. How much of it is heard hangs on "
      "frequency, Q, programme and room: there is no agreed limit. Compare variants rather than levels.",
      "small");
  out += html_details("What the sound includes and leaves out",
                      "<p>Included:</p>\n" + html_list(drive_includes(data.drive)) + "<p>Left out:</p>\n" +
                          html_list(drive_leaves_out(data.drive)));
  return html_section("drive", heading, out);
}

std::string place_section(const ReportData &data) {
  if (!data.has_place) return "";
  const char *heading = "Where the brace goes best";
  if (data.place_json.empty()) return html_section("place", heading, left_out_words(data, heading));
  std::string out = place_tables(data);
  if (!data.place_svg.empty())
    out = html_figure(html_picture(data.place_svg, "Frequencies of the modes over the place of the brace"),
                      "The map of all places: each line is a mode, followed by its shape.", "plot") +
          out;
  return html_section("place", heading, out);
}

}  // namespace stillbox
