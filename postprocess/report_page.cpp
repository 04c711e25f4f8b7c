// SPDX-License-Identifier: MIT
#include "postprocess/report_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "postprocess/html.h"
#include "postprocess/page_files.h"
#include "postprocess/report_sections.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

std::string name_of(const ReportData &data, std::size_t v) { return html_text(data.results[v].variant_name); }

std::string rounded(double x, int digits) { return std::isfinite(x) ? fmt::format("{:.{}f}", x, digits) : "-"; }

std::string verdict_table(const ReportData &data) {
  std::vector<HtmlColumn> columns{{"variant", Align::left},
                                  {"mass, kg"},
                                  {"inside, litres"},
                                  {"lowest mode, Hz"},
                                  {"by tolerances, Hz"},
                                  {"against " + data.results[0].variant_name, Align::left},
                                  {"ringing after a knock, dB"},
                                  {"falls by 60 dB in, s"}};
  if (!data.drive.empty()) columns.push_back({"walls re driver at worst, dB"});
  std::vector<std::vector<std::string>> rows;
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const ModalResult &r = data.results[v];
    std::vector<std::string> row{name_of(data, v), rounded(r.mass, 2),
                                 r.inner_volume > 0 ? rounded(1e3 * r.inner_volume, 2) : "-"};
    if (r.modes.empty())
      row.insert(row.end(), {"none", "-"});
    else
      row.insert(row.end(), {rounded(r.modes[0].frequency, 1),
                             fmt::format("{:.0f} to {:.0f}", r.modes[0].band_low, r.modes[0].band_high)});
    const Verdict verdict = verdict_of(data, v);
    row.push_back(v == 0 ? "the base"
                  : !verdict.has_modes
                      ? "-"
                      : fmt::format("{:+.1f} %, {}", 100 * (verdict.first.ratio - 1),
                                    verdict.first.is_beyond ? "beyond the tolerances" : "within the tolerances"));
    row.push_back(rounded(data.dead[v].all.energy_level, 1));
    row.push_back(rounded(data.dead[v].all.time_to_60, 3));
    if (!data.drive.empty()) {
      const DriveSolution *drive = drive_of(data, v);
      row.push_back(drive ? rounded(worst_walls(*drive), 1) : "-");
    }
    rows.push_back(row);
  }
  return html_table("The variants side by side", columns, rows);
}

std::string mutual_table(const ReportData &data) {
  if (data.results.size() < 3) return "";
  std::vector<HtmlColumn> columns{{"variant", Align::left}};
  std::vector<std::vector<std::string>> rows;
  for (std::size_t a = 0; a < data.results.size(); ++a) {
    columns.push_back({"against " + data.results[a].variant_name});
    std::vector<std::string> row{name_of(data, a)};
    for (std::size_t b = 0; b < data.results.size(); ++b) {
      if (a == b || data.results[a].modes.empty() || data.results[b].modes.empty()) {
        row.push_back(a == b ? "" : "-");
        continue;
      }
      const FrequencyChange change = frequency_change(data.results[b], 0, data.results[a], 0);
      row.push_back(fmt::format("{:+.1f} %, {}", 100 * (change.ratio - 1), change.is_beyond ? "beyond" : "within"));
    }
    rows.push_back(row);
  }
  return html_table("The lowest mode of every variant against every other: beyond or within the tolerances", columns,
                    rows);
}

// The variants that come out first, when there is a choice.
std::string headline(const ReportData &data) {
  if (data.results.size() < 2) return "";
  std::size_t calm = 0, high = 0;
  for (std::size_t v = 1; v < data.results.size(); ++v) {
    if (data.dead[v].all.energy_level < data.dead[calm].all.energy_level) calm = v;
    if (!data.results[v].modes.empty() && (data.results[high].modes.empty() ||
                                           data.results[v].modes[0].frequency > data.results[high].modes[0].frequency))
      high = v;
  }
  std::string out;
  if (!data.results[high].modes.empty())
    out += fmt::format("<strong>{}</strong> has the highest first mode, {:.0f} Hz. ", name_of(data, high),
                       data.results[high].modes[0].frequency);
  if (std::isfinite(data.dead[calm].all.energy_level)) {
    out += fmt::format("<strong>{}</strong> rings least after a knock", name_of(data, calm));
    if (calm > 0)
      out += fmt::format(", {:.1f} dB less than {}", data.dead[0].all.energy_level - data.dead[calm].all.energy_level,
                         name_of(data, 0));
    out += ".";
  }
  return out.empty() ? "" : "<p class=\"lead\">" + out + "</p>\n";
}

std::string head(const ReportData &data) {
  return "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
         "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; img-src data:; style-src "
         "'unsafe-inline'; script-src 'unsafe-inline'; base-uri 'none'; form-action 'none'\">\n"
         "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
         "<link rel=\"icon\" href=\"data:,\">\n<title>" +
         html_text(data.case_name) + ": how the walls ring</title>\n<style>\n" + std::string(page_style) +
         "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#verdict\">To the verdict</a>\n";
}

std::string masthead(const ReportData &data) {
  std::string out = "<header>\n<p class=\"kind\">How the walls ring</p>\n<h1>" + html_text(data.case_name) + "</h1>\n";
  if (!data.note.empty()) out += html_paragraph(data.note, "note");
  out += html_paragraph(
      fmt::format("A prediction, not a measurement. {} {} of {}, all modes up to {:.0f} Hz, fineness {:g}, elements of "
                  "degree {}.",
                  data.results.size(), data.results.size() == 1 ? "variant" : "variants", data.case_file, data.up_to,
                  data.fineness, data.degree),
      "nature");
  return out + "</header>\n";
}

std::string contents(const std::vector<std::pair<std::string, std::string>> &sections) {
  std::string out = "<nav aria-label=\"Contents\"><ul>\n";
  for (const auto &[id, heading] : sections) out += "<li><a href=\"#" + id + "\">" + heading + "</a></li>\n";
  return out + "</ul></nav>\n";
}

std::string footer() {
  std::string out =
      "<footer>\n" + html_paragraph(
                         "Made by stillbox. A prediction, not a measurement: knock, listen and weigh before you "
                         "cut, and compare variants rather than single figures.");
  if (!view_library.empty())
    out += html_details("Licence of the library in this page: twgl.js, which draws the turning view",
                        "<pre>" + html_text_lines(std::string(view_licence)) + "</pre>\n");
  return out + "</footer>\n</body>\n</html>\n";
}

}  // namespace

std::string html_section(const std::string &id, const std::string &heading, const std::string &content) {
  if (content.empty()) return "";
  return "<section id=\"" + id + "\" aria-labelledby=\"" + id + "-heading\">\n<h2 id=\"" + id + "-heading\">" +
         heading + "</h2>\n" + content + "</section>\n";
}

std::string verdict_section(const ReportData &data) {
  std::string out = headline(data);
  for (const std::string &words : verdict_words(data, 0)) out += html_paragraph(words);
  out += verdict_table(data) + "<div class=\"cards\">\n";
  for (std::size_t v = 1; v < data.results.size(); ++v)
    out += "<div class=\"card\"><h3>" + name_of(data, v) + "</h3>\n" + html_list(verdict_words(data, v)) + "</div>\n";
  out += "</div>\n" + mutual_table(data);
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const std::string words = riding_words(data, v);
    if (!words.empty()) out += html_paragraph(words, "small");
  }
  if (data.results.size() > 1)
    out += html_paragraph(
        "Give or take: the same boards go into both, so what they share cancels; this band holds what is left of the "
        "tolerances of moduli, densities and thicknesses, and the mesh. What the model leaves out (joints, glue, "
        "workmanship) is not in it. Loss factors have no stated tolerance: trust the ringing less than the "
        "frequencies.",
        "small");
  return html_section("verdict", "Verdict", out);
}

std::string cabinet_section(const ReportData &data) {
  std::string out, lists;
  bool any_drawing = false;
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    const std::string &drawing = data.drawings[v];
    any_drawing = any_drawing || !drawing.empty();
    std::vector<std::vector<std::string>> rows;
    for (const BoardSummary &board : data.results[v].boards)
      rows.push_back(
          {html_text(board.name), html_text(board.role), html_text(board.material), fmt::format("{:.3f}", board.mass)});
    if (!drawing.empty())
      out += html_figure(html_picture(drawing, data.results[v].variant_name +
                                                   ": front view, section from the side and section from above"),
                         "<strong>" + name_of(data, v) + "</strong>", "drawing");
    lists += html_details(
        "Boards of " + clean_text(data.results[v].variant_name),
        html_table("Boards of " + data.results[v].variant_name,
                   {{"board", Align::left}, {"use", Align::left}, {"material", Align::left}, {"mass, kg"}}, rows));
  }
  if (!out.empty()) out = "<div class=\"gallery two\">\n" + out + "</div>\n";
  if (any_drawing)
    out += html_paragraph("Sizes in mm, outside. Sand: walls; grey-blue: braces; dark: damping sheets. Dashed: hidden.",
                          "small");
  out += lists;
  return html_section("cabinet", any_drawing ? "The cabinet" : "The boards", out);
}

std::string report_page(const ReportData &data) {
  const std::vector<std::pair<std::string, std::string>> made{
      {"verdict", verdict_section(data)}, {"cabinet", cabinet_section(data)}, {"modes", modes_section(data)},
      {"view", view_section(data)},       {"shapes", shapes_section(data)},   {"ringing", ringing_section(data)},
      {"drive", drive_section(data)},     {"place", place_section(data)},     {"trust", trust_section(data)}};
  static const std::map<std::string, std::string> short_names{
      {"verdict", "Verdict"},         {"cabinet", "Drawing"}, {"modes", "Modes"},
      {"view", "In motion"},          {"shapes", "Shapes"},   {"ringing", "Ringing"},
      {"drive", "Beside the driver"}, {"place", "Places"},    {"trust", "Trust"}};
  std::vector<std::pair<std::string, std::string>> list;
  std::string body;
  for (const auto &[id, text] : made) {
    if (text.empty()) continue;
    list.emplace_back(id, short_names.at(id));
    body += text;
  }
  std::string out = head(data) + masthead(data) + contents(list) + "<main>\n" + body + "</main>\n" + footer();
  return out;
}

}  // namespace stillbox
