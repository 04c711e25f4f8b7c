// SPDX-License-Identifier: MIT
#include "postprocess/svg.h"

#include <fmt/format.h>

#include <cmath>

#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double tolerance = 0.1;  // px

/// "5-6" or "5 6": a sign parts two numbers as well as a space does.
std::string pair_of(long x, long y) { return fmt::format("{}{}{}", x, y < 0 ? "" : " ", y); }

}  // namespace

std::string svg_path(const std::vector<Polyline> &lines) {
  std::string out;
  for (const Polyline &whole : lines) {
    const Polyline line = simplify(whole, tolerance);
    if (line.size() < 2) continue;
    const bool ring = line.front() == line.back();
    long x = std::lround(10 * line[0].x()), y = std::lround(10 * line[0].y());
    std::string steps;
    int count = 0;
    for (std::size_t k = 1; k + (ring ? 1 : 0) < line.size(); ++k) {
      const long to_x = std::lround(10 * line[k].x()), to_y = std::lround(10 * line[k].y());
      if (to_x == x && to_y == y) continue;
      const std::string step = pair_of(to_x - x, to_y - y);
      if (count > 0 && step[0] != '-') steps += ' ';
      steps += step;
      ++count;
      x = to_x;
      y = to_y;
    }
    if (count < (ring ? 2 : 1)) continue;
    out +=
        "M" + pair_of(std::lround(10 * line[0].x()), std::lround(10 * line[0].y())) + "l" + steps + (ring ? "z" : "");
  }
  return out;
}

std::string svg_text(double x, double y, const std::string &style, const std::string &anchor, const std::string &text) {
  return fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" class=\"{}\" text-anchor=\"{}\">{}</text>\n", x, y, style, anchor,
                     escape_xml(text));
}

std::string svg_rectangle(double x, double y, double width, double height, const std::string &fill) {
  return fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"{}\"/>\n", x, y, width,
                     height, fill);
}

}  // namespace stillbox
