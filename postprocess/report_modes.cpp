// SPDX-License-Identifier: MIT
// The modes in report.html: side by side, turning, as pictures.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/frequency_ladder.h"
#include "postprocess/html.h"
#include "postprocess/page_files.h"
#include "postprocess/palette.h"
#include "postprocess/report_sections.h"
#include "postprocess/text.h"
#include "postprocess/unfolded_picture.h"

namespace stillbox {
namespace {

constexpr std::size_t rows_in_sight = 12;

std::string mark(const char *sign, const char *words) {
  return fmt::format("<span aria-hidden=\"true\">{}</span><span class=\"unseen\">{}</span>", sign, words);
}

std::string change_cell(const ReportData &data, std::size_t variant, std::size_t mode) {
  const int partner = data.pairings[variant].partner[mode];
  if (partner < 0) return "<span class=\"quiet\">gone</span>";
  const ModalResult &base = data.results[0], &other = data.results[variant];
  const FrequencyChange change = frequency_change(base, mode, other, std::size_t(partner));
  const std::string sign = !change.is_beyond  ? mark("&#8776;", "within the band")
                           : change.ratio > 1 ? mark("&#9650;", "higher")
                                              : mark("&#9660;", "lower");
  return fmt::format("<strong>{:.0f}</strong> <span class=\"change\">{} {:+.0f}&#8239;%</span>",
                     other.modes[std::size_t(partner)].frequency, sign, 100 * (change.ratio - 1));
}

std::vector<std::vector<std::string>> change_rows(const ReportData &data, std::size_t from, std::size_t to) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = from; m < to; ++m) {
    const Mode &mode = data.results[0].modes[m];
    std::vector<std::string> row{std::to_string(data.numbers[0][m]), html_text(mode.label),
                                 fmt::format("{:.0f}", mode.frequency)};
    for (std::size_t v = 1; v < data.results.size(); ++v) row.push_back(change_cell(data, v, m));
    rows.push_back(row);
  }
  return rows;
}

std::string facts_of(const Mode &mode) {
  return fmt::format("{:.0f} to {:.0f} Hz by tolerances &middot; loss factor {:.3f} &middot; T60 {:.2f} s",
                     mode.band_low, mode.band_high, mode.loss_factor, mode.decay_time);
}

// "from mode 3 of bare, 538 Hz (+26 %)", or that it is new.
std::string origin_of(const ReportData &data, std::size_t variant, int mode) {
  if (variant == 0) return "";
  const std::vector<int> bases = base_mode_of(data.pairings[variant], data.results[variant].modes.size());
  const int from = bases[std::size_t(mode)];
  const std::string base = html_text(data.results[0].variant_name);
  if (from < 0) return "no mode of " + base + " has this shape";
  const FrequencyChange change =
      frequency_change(data.results[0], std::size_t(from), data.results[variant], std::size_t(mode));
  return fmt::format("mode {} of {} at {:.0f} Hz: {:+.0f} %{}", data.numbers[0][std::size_t(from)], base,
                     data.results[0].modes[std::size_t(from)].frequency, 100 * (change.ratio - 1),
                     change.is_beyond ? "" : ", within the band");
}

std::string finite(double x, int digits) { return std::isfinite(x) ? fmt::format("{:.{}f}", x, digits) : "-"; }

nlohmann::ordered_json view_data(const ReportData &data) {
  nlohmann::ordered_json j;
  j["bands"] = nlohmann::ordered_json::array();
  for (const Colour &colour : band_palette()) j["bands"].push_back({colour.rgb[0], colour.rgb[1], colour.rgb[2]});
  j["variants"] = nlohmann::ordered_json::array();
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const ModalResult &r = data.results[v];
    nlohmann::ordered_json one;
    one["name"] = clean_text(r.variant_name);
    one["modes"] = nlohmann::ordered_json::array();
    const std::size_t modes = std::min(r.modes.size(), data.views[v].shapes.size());
    for (std::size_t m = 0; m < modes; ++m) {
      const Mode &mode = r.modes[m];
      one["modes"].push_back({{"number", data.numbers[v][m]},
                              {"label", clean_text(mode.label)},
                              {"frequency", fmt::format("{:.1f} Hz", mode.frequency)},
                              {"band", fmt::format("{:.0f} to {:.0f} Hz", mode.band_low, mode.band_high)},
                              {"loss", finite(mode.loss_factor, 4)},
                              {"t60", finite(mode.decay_time, 3) + " s"},
                              {"net", finite(mode.net_share, 2)}});
    }
    one["mesh"] = nlohmann::ordered_json::parse(view_mesh_json(data.views[v]));
    j["variants"].push_back(std::move(one));
  }
  return j;
}

}  // namespace

std::string modes_section(const ReportData &data) {
  std::string out = html_figure(
      html_picture(frequency_ladder(data.results, data.pairings, data.shown, data.numbers),
                   "All modes of all variants over frequency; the table below and the full tables hold the figures"),
      "Each tick is a mode. Tall ticks with a number are the modes that matter: the lowest one and those that hold "
      "most of "
      "the ringing after a knock; their bars show where they lie when the boards are off by their tolerances. Lines "
      "join "
      "modes of the same shape.",
      "ladder");
  const std::size_t modes = data.results[0].modes.size();
  if (data.results.size() > 1 && modes > 0) {
    std::vector<HtmlColumn> columns{
        {"mode"}, {"shape in " + data.results[0].variant_name, Align::left}, {data.results[0].variant_name + ", Hz"}};
    for (std::size_t v = 1; v < data.results.size(); ++v) columns.push_back({data.results[v].variant_name + ", Hz"});
    const std::size_t first = std::min(modes, rows_in_sight);
    out +=
        html_table("What became of the modes of " + data.results[0].variant_name, columns, change_rows(data, 0, first));
    out +=
        "<p class=\"small\">&#9650; higher and &#9660; lower than the boards' tolerances and the mesh can do; &#8776; "
        "within that band; gone: no such shape up to the top frequency.</p>\n";
    if (modes > first)
      out += html_details(fmt::format("Modes {} to {}", data.numbers[0][first], data.numbers[0][modes - 1]),
                          html_table("What became of the higher modes of " + data.results[0].variant_name, columns,
                                     change_rows(data, first, modes)));
  }
  return html_section("modes", "The modes side by side", out);
}

std::string view_section(const ReportData &data) {
  const bool has_modes =
      std::any_of(data.views.begin(), data.views.end(), [](const ViewMesh &view) { return !view.shapes.empty(); });
  if (!has_modes) return "";
  if (view_library.empty())
    return html_section("view", "The modes in motion",
                        html_paragraph("This stillbox was built without the library that draws the turning view; the "
                                       "pictures below show the same shapes.",
                                       "notice"));
  std::string out =
      "<p id=\"view-message\" class=\"notice\">The turning view needs scripts and WebGL 2. Without them the pictures "
      "below show the same shapes.</p>\n"
      "<div id=\"viewer\" class=\"viewer\" hidden>\n<div class=\"controls\">\n"
      "<label>Variant <select id=\"view-variant\"></select></label>\n"
      "<label>Mode <select id=\"view-mode\"></select></label>\n"
      "<button type=\"button\" id=\"view-play\">Pause</button>\n"
      "<label>Movement <input type=\"range\" id=\"view-swing\" min=\"0\" max=\"100\" value=\"50\"></label>\n"
      "<button type=\"button\" id=\"view-reset\">Turn back</button>\n</div>\n"
      "<div class=\"stage\">\n<canvas id=\"view-canvas\" tabindex=\"0\" role=\"img\" aria-describedby=\"view-help\" "
      "aria-label=\"The cabinet moving in the chosen mode\"></canvas>\n"
      "<dl id=\"view-facts\" aria-live=\"polite\"></dl>\n</div>\n"
      "<details><summary>Hide boards to look inside</summary><fieldset id=\"view-boards\"><legend>Shown</legend>"
      "</fieldset></details>\n"
      "<p id=\"view-help\" class=\"small\">Drag or use the arrow keys to turn, + and - to come closer. Orange moves "
      "out, "
      "blue in, as far as the colour is strong; dark lines stay at rest. Movements are drawn much too large: real ones "
      "are micrometres.</p>\n</div>\n";
  out +=
      "<script type=\"application/json\" id=\"view-data\">" + json_for_script(view_data(data).dump()) + "</script>\n";
  out += "<script>" + script_for_html(std::string(view_library)) + "</script>\n<script>" +
         script_for_html(std::string(view_script)) + "</script>\n";
  return html_section("view", "The modes in motion", out);
}

std::string shapes_section(const ReportData &data) {
  std::string out;
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const ModalResult &r = data.results[v];
    if (data.shown[v].empty()) continue;
    const std::vector<double> shares = ring_shares(data.dead[v]);
    out += "<h3>" + html_text(r.variant_name) + "</h3>\n<div class=\"gallery\">\n";
    for (int m : data.shown[v]) {
      const Mode &mode = r.modes[std::size_t(m)];
      std::string caption = fmt::format(
          "<strong>Mode {}, {:.0f} Hz</strong> {}<br>{}<br>{:.0f} % of the ringing after a "
          "knock",
          data.numbers[v][std::size_t(m)], mode.frequency, html_text(mode.label), facts_of(mode),
          100 * shares[std::size_t(m)]);
      const std::string origin = origin_of(data, v, m);
      if (!origin.empty()) caption += "<br>" + origin;
      out += html_figure(
          html_picture(unfolded_mode_picture(r, std::size_t(m)),
                       fmt::format("{}, mode {} at {:.0f} Hz: {}, drawn on the unfolded walls", r.variant_name,
                                   data.numbers[v][std::size_t(m)], mode.frequency, mode.label)),
          caption);
    }
    out += "</div>\n";
  }
  if (out.empty()) return "";
  out +=
      html_figure(html_picture(unfolded_key(data.results[0]), "Key: colours of the bands, and which wall is where"),
                  "Key to all pictures: colours go from blue (in) to orange (out), half a period later the other way "
                  "round.",
                  "key");
  return html_section("shapes", "The shapes that matter, on the unfolded walls", out);
}

}  // namespace stillbox
