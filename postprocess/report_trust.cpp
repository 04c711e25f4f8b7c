// SPDX-License-Identifier: MIT
// How far to trust it, in report.html: tolerances, mesh, what is in and what is not, and all modes.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/html.h"
#include "postprocess/report_sections.h"
#include "postprocess/summary.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

std::string shares_text(const std::vector<std::pair<std::string, double>> &shares) {
  std::string out;
  for (const auto &[name, share] : shares)
    out += fmt::format("{}{} {:.0f} %", out.empty() ? "" : ", ", name, 100 * share);
  return html_text(out.empty() ? "-" : out);
}

// What moves the lowest mode most when it is off by its tolerance.
std::string tolerance_table(const ReportData &data) {
  constexpr std::size_t most = 4;
  std::vector<std::vector<std::string>> rows;
  for (const ModalResult &r : data.results) {
    if (r.modes.empty()) continue;
    std::vector<const Sensitivity *> list;
    for (const Sensitivity &s : r.sensitivities) list.push_back(&s);
    std::stable_sort(list.begin(), list.end(), [](const Sensitivity *a, const Sensitivity *b) {
      return std::abs(a->per_mode[0] * a->tolerance) > std::abs(b->per_mode[0] * b->tolerance);
    });
    for (std::size_t i = 0; i < std::min(most, list.size()); ++i) {
      const double moves = std::abs(list[i]->per_mode[0] * list[i]->tolerance);
      if (moves < 1e-4) break;
      rows.push_back({html_text(r.variant_name), html_text(list[i]->parameter),
                      fmt::format("{:.1f}", 100 * list[i]->tolerance), fmt::format("{:.1f}", 100 * moves)});
    }
  }
  return rows.empty() ? ""
                      : html_table("What moves the lowest mode most",
                                   {{"variant", Align::left},
                                    {"of the boards", Align::left},
                                    {"tolerance, ± %"},
                                    {"moves the mode by, ± %"}},
                                   rows, "grouped");
}

std::string numbers_table(const ReportData &data) {
  std::vector<std::vector<std::string>> rows;
  for (const ModalResult &r : data.results) {
    const CountCheck check = check_count(r);
    double worst = 0;
    for (const Mode &mode : r.modes) worst = std::max(worst, mode.numerical_error);
    rows.push_back({html_text(r.variant_name), std::to_string(r.report.dofs), std::to_string(r.modes.size()),
                    check.state == CountState::agrees    ? "none missed"
                    : check.state == CountState::differs ? fmt::format("INCOMPLETE: {} counted", check.expected)
                                                         : "not checked",
                    r.modes.empty() ? "-" : fmt::format("{:.2f}", 100 * r.modes[0].numerical_error),
                    fmt::format("{:.2f}", 100 * worst), r.exact_damping ? "exact" : "energy method"});
  }
  return html_table("What the mesh and the solver add",
                    {{"variant", Align::left},
                     {"unknowns"},
                     {"modes"},
                     {"count", Align::left},
                     {"mesh error, lowest mode, %"},
                     {"mesh error, worst, %"},
                     {"loss factors", Align::left}},
                    rows);
}

std::string all_modes(const ModalResult &r, const std::vector<int> &numbers) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = 0; m < r.modes.size(); ++m) {
    const Mode &mode = r.modes[m];
    rows.push_back({std::to_string(numbers[m]), fmt::format("{:.1f}", mode.frequency),
                    fmt::format("{:.2f}", 100 * mode.numerical_error),
                    fmt::format("{:.0f} to {:.0f}", mode.band_low, mode.band_high),
                    fmt::format("{:.4f}", mode.loss_factor), fmt::format("{:.1f}", mode.quality),
                    fmt::format("{:.3f}", mode.decay_time), fmt::format("{:.2f}", mode.net_share),
                    shares_text(top_boards(r, mode, 2)), shares_text(top_losses(r, mode, 2)), html_text(mode.label)});
  }
  return html_details("All modes of " + clean_text(r.variant_name), html_table("All modes of " + r.variant_name,
                                                                               {{"mode"},
                                                                                {"Hz"},
                                                                                {"mesh error, %"},
                                                                                {"by tolerances, Hz"},
                                                                                {"loss factor"},
                                                                                {"Q"},
                                                                                {"T60, s"},
                                                                                {"net share"},
                                                                                {"strain energy", Align::left},
                                                                                {"loss from", Align::left},
                                                                                {"shape", Align::left}},
                                                                               rows, "dense"));
}

std::string listed(const std::string &heading, const std::vector<std::string> &lines) {
  return lines.empty() ? "" : "<h4>" + html_text(heading) + "</h4>\n" + html_list(lines);
}

}  // namespace

std::string trust_section(const ReportData &data) {
  std::string out = "<h3>What the boards' tolerances do</h3>\n";
  out += html_paragraph(
      "The bands hold the tolerances that the case states for moduli, densities and thicknesses, independent of each "
      "other (root of the sum of squares, exact sensitivities). Catalogue values are off by more than boards that were "
      "tapped and weighed.");
  out += tolerance_table(data);
  out += "<h3>Numerical errors</h3>\n" + numbers_table(data);
  out += html_paragraph(
      "Mesh error: estimated part by which the elements make a frequency too high, mostly 1 to 3 times the true error. "
      "None missed: the inertia of the factorised matrix counts as many modes as were found.",
      "small");
  out += "<h3>What the figures include</h3>\n<div class=\"cards\">\n<div class=\"card\">" +
         listed("Included", common_lines(data.results, &SolveReport::includes)) + "</div>\n<div class=\"card\">" +
         listed("Left out of modes and ringing", common_lines(data.results, &SolveReport::leaves_out)) +
         listed("Notes", common_lines(data.results, &SolveReport::notes)) + "</div>\n</div>\n";
  out += html_list(accuracy_lines());
  std::vector<std::string> left;
  for (const auto &[what, how] : report_left_out(data)) left.push_back(what + ": " + how + ".");
  out += listed("Not on this page", left);
  out += "<h3 class=\"screen\">All modes</h3>\n";
  for (std::size_t v = 0; v < data.results.size(); ++v) out += all_modes(data.results[v], data.numbers[v]);
  out += "<h3>Cautions</h3>\n" +
         html_list(
             {"Dust of boards harms the lungs, saws and routers the hands: extraction, a fitting mask, eye and ear "
              "protection.",
              "Glue, solvents and hot bitumen: in a well-aired room, away from flames, with gloves.",
              "Cabinets are heavy and tip: lift with two. Powered boxes hold dangerous voltages even unplugged: leave "
              "their inside to qualified people.",
              "Loud sweeps hurt ears and drivers: start low. Local codes and licensed practice come first."});
  return html_section("trust", "How far to trust it", out);
}

}  // namespace stillbox
