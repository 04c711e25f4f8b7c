// SPDX-License-Identifier: MIT
#include "postprocess/place_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "mesh/length.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

constexpr std::size_t places_shown = 10;

std::string value_words(const PlaceReport &report, double value) {
  switch (report.search->request.aim) {
    case PlaceAim::highest_first_mode:
      return fmt::format("{:.1f}", value);
    case PlaceAim::shortest_ring:
      return fmt::format("{:.4f}", value);
    default:
      return fmt::format("{:.3f}", value);
  }
}

std::string heading(const PlaceReport &report) {
  const std::string unit = place_unit(report.search->request.aim);
  return place_heading(report.search->request.aim) + (unit.empty() ? "" : "\n" + unit);
}

std::string error_words(double error) { return fmt::format("{:+.2f}", 100 * error); }

std::vector<std::string> row_cells(const PlaceReport &report, const RankedPlace &place, std::size_t rank) {
  const PlaceRow &row = report.rows[place.row];
  std::string lowest;
  for (int i = 0; i < std::min<int>(3, int(row.modes.frequency.size())); ++i)
    lowest += (i > 0 ? " " : "") + fmt::format("{:.0f}", row.modes.frequency[i]);
  return {std::to_string(rank + 1),
          place_name(*report.search, row),
          value_words(report, place.value),
          fmt::format("{:.2f}", row.mass),
          fmt::format("{:.2f}", 1e3 * row.volume),
          row.how,
          lowest,
          row.rule + (place.on_front ? (row.rule.empty() ? "front" : ", front") : "")};
}

std::vector<Column> place_columns(const PlaceReport &report) {
  return {{"rank"},
          {"candidate", Align::left, 40},
          {heading(report)},
          {"mass\nkg"},
          {"inside\nl"},
          {"how", Align::left},
          {"lowest modes\nHz", Align::left},
          {"", Align::left}};
}

std::string refused_text(const PlaceReport &report) {
  std::map<std::string, int> reasons;
  for (const PlaceRow &row : report.rows)
    if (row.is_refused()) ++reasons[row.reason];
  std::string text;
  for (const auto &[reason, count] : reasons)
    text += paragraph("  ", fmt::format("{}: {}", count, clean_text(reason)), table_width);
  return text;
}

// What cannot be told from the winner. Frequencies are uncertain by the mesh error, T60 too; of clusters no more is
// said.
std::string equals_text(const PlaceReport &report) {
  if (report.checks.empty() || report.checks[0].full.modes.empty() || report.ranking.size() < 2) return "";
  if (report.search->request.aim == PlaceAim::least_clustering) return "";
  const double error = report.checks[0].full.modes[0].numerical_error, best = report.ranking[0].value;
  long equals = -1;
  for (const RankedPlace &place : report.ranking) equals += std::abs(place.value - best) <= error * std::abs(best);
  if (equals <= 0) return "\nNo other candidate comes within the mesh error of the best.\n";
  return "\n" +
         paragraph("",
                   fmt::format("{} other candidate{} within the mesh error of the best ({:.2f} %): the model cannot "
                               "tell {} from it.",
                               equals, equals == 1 ? " lies" : "s lie", 100 * error, equals == 1 ? "it" : "them"),
                   table_width);
}

std::string rules_text(const PlaceReport &report) {
  std::vector<std::vector<std::string>> cells;
  for (std::size_t i = 0; i < report.ranking.size(); ++i)
    if (!report.rows[report.ranking[i].row].rule.empty()) cells.push_back(row_cells(report, report.ranking[i], i));
  for (const PlaceRow &row : report.rows)
    if (row.is_refused() && !row.rule.empty())
      cells.push_back({"", place_name(*report.search, row), "refused", "", "", "", "", row.rule});
  if (cells.empty()) return "";
  return "\nRules of thumb, as they come out here\n\n" + text_table(place_columns(report), cells, table_width);
}

std::string checks_text(const PlaceReport &report) {
  std::vector<std::vector<std::string>> cells;
  for (const PlaceCheck &check : report.checks) {
    const auto &modes = check.full.modes;
    const bool is_reduced = check.row >= 0 && report.rows[std::size_t(check.row)].how == "reduced";
    cells.push_back({check.name, check.row < 0 ? "" : place_name(*report.search, report.rows[std::size_t(check.row)]),
                     value_words(report, check.value), modes.empty() ? "-" : fmt::format("{:.1f}", modes[0].frequency),
                     modes.empty() ? "-" : fmt::format("{:.2f}", 100 * modes[0].numerical_error),
                     modes.empty() ? "-" : fmt::format("{:.0f}-{:.0f}", modes[0].band_low, modes[0].band_high),
                     is_reduced ? error_words(check.first_error) : "-",
                     is_reduced ? error_words(check.worst_error) : "-",
                     check.wins < 0 ? "" : fmt::format("{} of {}", check.wins, report.draws),
                     check.wins < 0 || !std::isfinite(check.margin) ? "" : fmt::format("{:+.1f}", 100 * check.margin)});
  }
  return "\nSolved again in full, each on a mesh of its own\n\n" + text_table({{"", Align::left},
                                                                               {"candidate", Align::left, 26},
                                                                               {heading(report)},
                                                                               {"mode 1\nHz"},
                                                                               {"mesh error\n%"},
                                                                               {"band by\ntolerances"},
                                                                               {"reduced model\noff, mode 1 %"},
                                                                               {"worst\n%"},
                                                                               {"winner ahead\nin boxes"},
                                                                               {"by %"}},
                                                                              cells, table_width);
}

}  // namespace

std::string place_name(const PlaceSearch &search, const PlaceRow &row) {
  const PlaceLine &line = search.lines[std::size_t(row.line)];
  if (line.row < 0) return line.label.empty() ? "as it is" : line.label;
  const std::string key = search.request.vary[std::size_t(line.row)].key;
  return (line.label.empty() ? "" : line.label + ", ") + key + " " + number_text(row.at) + " mm";
}

std::string place_table(const PlaceReport &report) {
  const PlaceSearch &search = *report.search;
  const long refused =
      std::count_if(report.rows.begin(), report.rows.end(), [](const PlaceRow &r) { return r.is_refused(); });
  long reduced =
      std::count_if(report.rows.begin(), report.rows.end(), [](const PlaceRow &r) { return r.how == "reduced"; });
  std::string text = fmt::format("{}, {}: {} candidates up to {} Hz\n", clean_text(search.trees.name),
                                 clean_text(search.request.variant), report.rows.size(), number_text(report.up_to));
  text += paragraph(
      "  ",
      fmt::format("{} by reduced models, {} by a full solution each, {} refused; {} full solutions, {} factorisations "
                  "besides and {:.0f} s of "
                  "processor time for the search{}, {} full solutions and {:.0f} s to check it",
                  reduced, long(report.rows.size()) - refused - reduced, refused, report.work.solutions,
                  report.work.factorisations, report.seconds_search,
                  report.known_before > 0
                      ? fmt::format(" ({} candidates were there from an earlier run)", report.known_before)
                      : "",
                  report.checks.size(), report.seconds_checks),
      table_width);
  if (refused > 0) text += "  refused:\n" + refused_text(report);
  std::vector<std::vector<std::string>> cells;
  for (std::size_t i = 0; i < std::min(places_shown, report.ranking.size()); ++i)
    cells.push_back(row_cells(report, report.ranking[i], i));
  text += "\nThe best, by " + place_heading(search.request.aim) + "\n\n" +
          text_table(place_columns(report), cells, table_width);
  cells.clear();
  for (std::size_t i = 0; i < report.ranking.size(); ++i)
    if (report.ranking[i].on_front) cells.push_back(row_cells(report, report.ranking[i], i));
  if (cells.size() > 1)
    text += "\nFor less mass: nothing lighter is better than these\n\n" +
            text_table(place_columns(report), cells, table_width);
  text += equals_text(report);
  text += rules_text(report) + checks_text(report) + "\n";
  text += paragraph(
      "",
      fmt::format(
          "The error of the reduced model is against a full solution on another mesh; both have the "
          "mesh error of the table. Boxes: {} drawn with moduli, densities and thicknesses evenly "
          "within their tolerances, seed {}, the same boards in both boxes of a pair, first order in "
          "the exact sensitivities; by % is the median. Better in all boxes can still be better by nothing one hears.",
          report.draws, report.seed),
      table_width);
  if (search.request.aim == PlaceAim::highest_first_mode && !report.ranking.empty() &&
      report.rows[report.ranking[0].row].modes.frequency.size() == 0)
    text += paragraph("", "Note: the best has no mode up to the top frequency; raise --up-to to tell such ones apart.",
                      table_width);
  for (const std::string &note : search.notes) text += paragraph("", "Note: " + clean_text(note) + ".", table_width);
  for (const PlaceVary &vary : search.request.vary)
    if (vary.key == "at" && search.request.insert == "before closing") {
      text += paragraph("", "Braces are taken to be glued in before the last wall.", table_width);
      break;
    }
  text +=
      paragraph("",
                "Left out: the air inside, radiation, lining, losses in glued joints, what drivers do besides their "
                "mass. Loss by the energy method. A prediction is not a measurement.",
                table_width);
  return text;
}

}  // namespace stillbox
