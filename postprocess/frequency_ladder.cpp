// SPDX-License-Identifier: MIT
#include "postprocess/frequency_ladder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/net_view.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double wide = 980, left = 150, right = 20, top = 34, row_height = 74, tick = 15;  // px
const std::string ink = "#23282d", tick_colour = "#6b7178", band_colour = "#b9cbd6", link_colour = "#8a6a3f";

struct Axis {
  double low = 20, high = 1000;
  double x(double f) const { return left + (wide - left - right) * std::log(f / low) / std::log(high / low); }
};

Axis axis_of(const std::vector<ModalResult> &variants) {
  Axis axis{1e9, 0};
  for (const ModalResult &v : variants)
    for (const Mode &mode : v.modes) {
      axis.low = std::min({axis.low, mode.frequency, mode.band_low > 0 ? mode.band_low : mode.frequency});
      axis.high = std::max(axis.high, mode.frequency);
    }
  axis.low *= 0.97;
  axis.high *= 1.03;
  if (axis.high < 1.2 * axis.low) axis.high = 1.2 * axis.low;
  return axis;
}

std::string scale_lines(const Axis &axis, double bottom) {
  std::string out;
  for (double decade = 1; decade < 1e6; decade *= 10)
    for (const double part : {1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 7.0, 8.0}) {
      const double f = decade * part;
      if (f < axis.low || f > axis.high) continue;
      out += fmt::format("<path class=\"scale\" d=\"M{:.1f} {:.1f}V{:.1f}\"/>\n", axis.x(f), top - 6, bottom);
      out += svg_text(axis.x(f), top - 12, "quiet", "middle", fmt::format("{:.0f}", f));
    }
  return out + svg_text(left - 12, top - 12, "quiet", "end", "Hz");
}

}  // namespace

std::string frequency_ladder(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings,
                             const std::vector<std::vector<int>> &marked,
                             const std::vector<std::vector<int>> &numbers) {
  const double bottom = top + row_height * double(variants.size());
  std::string out = svg_start(wide, bottom + 8, "Modes of all variants over frequency",
                              "A tick for each mode; bands of the boards' tolerances; lines between like shapes.");
  out += "<style>text{font-family:'DejaVu Sans',Verdana,sans-serif;font-size:12px;fill:" + ink +
         "}.quiet{font-size:11px;fill:#555b61}.who{font-weight:bold}.scale{stroke:#e4e1da}.tick{stroke:" + tick_colour +
         ";stroke-width:1.3}.main{stroke:" + ink + ";stroke-width:2.2}.band{fill:" + band_colour +
         ";fill-opacity:.75}.link{stroke:" + link_colour + ";stroke-width:1.1;fill:none;opacity:.8}</style>\n";
  if (std::all_of(variants.begin(), variants.end(), [](const auto &v) { return v.modes.empty(); }))
    return out + svg_text(left, top + 20, "quiet", "start", "No modes to show.") + "</svg>\n";
  const Axis axis = axis_of(variants);
  out += scale_lines(axis, bottom);
  const auto middle = [&](std::size_t v) { return top + row_height * (double(v) + 0.5); };
  for (std::size_t v = 0; v + 1 < variants.size(); ++v)
    for (std::size_t m = 0; m < pairings[v].partner.size(); ++m) {
      const int a = pairings[v].partner[m], b = pairings[v + 1].partner[m];
      if (a < 0 || b < 0) continue;
      const double x = axis.x(variants[v].modes[std::size_t(a)].frequency);
      const double to = axis.x(variants[v + 1].modes[std::size_t(b)].frequency);
      const double y = middle(v) + tick, end = middle(v + 1) - tick, bend = 0.5 * (y + end);
      out += fmt::format("<path class=\"link\" d=\"M{:.1f} {:.1f}C{:.1f} {:.1f} {:.1f} {:.1f} {:.1f} {:.1f}\"/>\n", x,
                         y, x, bend, to, bend, to, end);
    }
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const double y = middle(v);
    const auto lines = wrap(clean_text(variants[v].variant_name), 19);
    const std::size_t shown = std::min<std::size_t>(lines.size(), 3);
    for (std::size_t l = 0; l < shown; ++l)
      out += svg_text(left - 12, y + 4 + 14 * (double(l) - 0.5 * double(shown - 1)), "who", "end",
                      l == 2 && lines.size() > 3 ? lines[l] + " ..." : lines[l]);
    double last = -1e9;
    for (std::size_t m = 0; m < variants[v].modes.size(); ++m) {
      const Mode &mode = variants[v].modes[m];
      const double x = axis.x(mode.frequency);
      const bool is_main = std::find(marked[v].begin(), marked[v].end(), int(m)) != marked[v].end();
      if (is_main && mode.band_high > mode.band_low) {
        const double from = axis.x(mode.band_low), to = std::min(axis.x(mode.band_high), wide - 4);
        out += fmt::format("<rect class=\"band\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"9\"/>\n", from,
                           y - 4.5, to - from);
      }
      out += fmt::format("<path class=\"{}\" d=\"M{:.1f} {:.1f}v{:.1f}\"/>\n", is_main ? "main" : "tick", x,
                         y - (is_main ? tick : 9), 2 * (is_main ? tick : 9));
      if (!is_main || x - last < 12) continue;
      out += svg_text(x + 3, y - 7, "quiet", "start", std::to_string(numbers[v][m]));
      last = x;
    }
  }
  return out + "</svg>\n";
}

}  // namespace stillbox
