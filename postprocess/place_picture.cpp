// SPDX-License-Identifier: MIT
// The map of place_report.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "mesh/length.h"
#include "postprocess/place_report.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double picture_width = 1000, panel_height = 430, margin_left = 70, margin_right = 30, above = 76, below = 48;
constexpr std::size_t most_panels = 6;

// A round step that gives about `wanted` steps.
double round_step(double range, int wanted) {
  const double raw = range / wanted, ten = std::pow(10, std::floor(std::log10(raw)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (raw <= factor * ten * 1.0001) return factor * ten;
  return 10 * ten;
}

struct Axis {
  double from = 0, to = 1, at_from = 0, at_to = 1;
  double operator()(double x) const { return at_from + (x - from) / (to - from) * (at_to - at_from); }
};

// Dashes tell neighbouring lines apart without colour.
std::string stroke_of(std::size_t number) {
  static const char *colours[] = {"#1f4e8c", "#b3541e", "#2f6b3a", "#6b3a78", "#444444"};
  static const char *dashes[] = {"", " stroke-dasharray='7 3'", " stroke-dasharray='2 3'"};
  return fmt::format("stroke='{}'{}", colours[number % 5], dashes[number / 5 % 3]);
}

std::string panel(const PlaceReport &report, int line, double top) {
  const PlaceSearch &search = *report.search;
  std::vector<std::size_t> rows;
  for (std::size_t r = 0; r < report.rows.size(); ++r)
    if (report.rows[r].line == line) rows.push_back(r);
  Axis x{report.rows[rows.front()].at, report.rows[rows.back()].at, margin_left, picture_width - margin_right};
  if (x.to - x.from < 1e-9) {
    x.from -= 1;
    x.to += 1;
  }
  double lowest = report.up_to;
  for (std::size_t r : rows)
    if (report.rows[r].modes.frequency.size() > 0) lowest = std::min(lowest, report.rows[r].modes.frequency[0]);
  Axis y{0, report.up_to, top + panel_height - below, top + above};
  const double step_y = round_step(report.up_to - 0.9 * lowest, 8), step_x = round_step(x.to - x.from, 8);
  y.from = std::floor(0.95 * lowest / step_y) * step_y;
  std::string out = svg_text(
      margin_left, top + 24, "head", "start",
      search.lines[std::size_t(line)].label.empty() ? "all candidates" : search.lines[std::size_t(line)].label);
  for (double f = y.from; f <= y.to + 1e-6; f += step_y) {
    out += fmt::format("<line x1='{:.1f}' y1='{:.1f}' x2='{:.1f}' y2='{:.1f}' stroke='#dddddd'/>", x.at_from, y(f),
                       x.at_to, y(f));
    out += svg_text(margin_left - 8, y(f) + 4, "small", "end", number_text(f));
  }
  for (double p = std::ceil(x.from / step_x - 1e-9) * step_x; p <= x.to + 1e-6; p += step_x) {
    out += fmt::format("<line x1='{:.1f}' y1='{:.1f}' x2='{:.1f}' y2='{:.1f}' stroke='#888888'/>", x(p), y.at_from,
                       x(p), y.at_from + 5);
    out += svg_text(x(p), y.at_from + 20, "small", "middle", number_text(std::round(1e6 * p) / 1e6));
  }
  const int row_vary = search.lines[std::size_t(line)].row;
  const std::string what = row_vary < 0 ? ""
                                        : search.request.vary[std::size_t(row_vary)].item + ", " +
                                              search.request.vary[std::size_t(row_vary)].key + ", mm";
  out += svg_text((x.at_from + x.at_to) / 2, y.at_from + 40, "small", "middle", what);
  out += svg_text(margin_left - 8, y.at_to - 12, "small", "end", "Hz");
  int marked = 0;  // words side by side would run into each other
  for (std::size_t r : rows) {
    const PlaceRow &row = report.rows[r];
    if (row.is_refused())
      out += fmt::format("<circle cx='{:.1f}' cy='{:.1f}' r='2.5' fill='none' stroke='#999999'/>", x(row.at),
                         y.at_from - 4);
    const bool is_winner = !report.ranking.empty() && report.ranking[0].row == r;
    if (row.rule.empty() && !is_winner) continue;
    out +=
        fmt::format("<line x1='{0:.1f}' y1='{1:.1f}' x2='{0:.1f}' y2='{2:.1f}' stroke='{3}' stroke-width='{4}' {5}/>",
                    x(row.at), y.at_from, y.at_to, is_winner ? "#111111" : "#999999", is_winner ? 1.5 : 1,
                    is_winner ? "" : "stroke-dasharray='3 4'");
    const std::string words = is_winner ? "best" + (row.rule.empty() ? "" : ", " + row.rule) : row.rule;
    out += svg_text(x(row.at), y.at_to - (is_winner ? 32 : 6 + 13 * (marked++ % 2)), "small", "middle", words);
  }
  std::size_t number = 0;
  for (const PlaceTrack &track : report.tracks) {
    if (track.line != line) continue;
    std::string points;
    for (const auto &[r, mode] : track.at)
      points += fmt::format("{:.1f},{:.1f} ", x(report.rows[r].at), y(report.rows[r].modes.frequency[mode]));
    if (track.at.size() > 1)
      out += fmt::format("<polyline points='{}' fill='none' {} stroke-width='1.6'/>", points, stroke_of(number));
    else
      out += fmt::format("<circle cx='{:.1f}' cy='{:.1f}' r='2' fill='#222222'/>", x(report.rows[track.at[0].first].at),
                         y(report.rows[track.at[0].first].modes.frequency[track.at[0].second]));
    ++number;
  }
  return out;
}

}  // namespace

std::string place_picture(const PlaceReport &report) {
  std::set<int> lines;
  for (const PlaceRow &row : report.rows)
    if (lines.size() < most_panels) lines.insert(row.line);
  const double height = 60 + panel_height * double(lines.size());
  std::string out = fmt::format(
      "<svg xmlns='http://www.w3.org/2000/svg' width='{0}' height='{1}' viewBox='0 0 {0} {1}'>"
      "<style>text{{font-family:sans-serif;fill:#222222}} .head{{font-size:15px}} .small{{font-size:12px}}</style>",
      picture_width, height);
  const std::string title = report.search->trees.name + ", " + report.search->request.variant + ": modes by place";
  out += "<title>" + escape_xml(title) + "</title>" + svg_rectangle(0, 0, picture_width, height, "#ffffff");
  out += svg_text(margin_left, 30, "head", "start", title);
  double top = 36;
  for (int line : lines) {
    out += panel(report, line, top);
    top += panel_height;
  }
  out += svg_text(
      margin_left, height - 8, "small", "start",
      "Each line is one mode, followed by its shape on the walls. Rings: refused. A prediction, not a measurement.");
  return out + "</svg>\n";
}

}  // namespace stillbox
