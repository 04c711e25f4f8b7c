// SPDX-License-Identifier: MIT
#include "postprocess/net_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {

Eigen::Vector2d to_pixels(const View &view, const Placement &placement, const Eigen::Vector2d &uv) {
  const Eigen::Vector2d sheet = placement.corner + uv[0] * placement.along_u + uv[1] * placement.along_v;
  return {view.left + view.scale * (sheet.x() - view.low.x()), view.bottom - view.scale * (sheet.y() - view.low.y())};
}

std::vector<Polyline> to_pixels(const View &view, const Placement &placement, const std::vector<Polyline> &lines,
                                const Eigen::Vector2d &shift) {
  std::vector<Polyline> out = lines;
  for (Polyline &line : out)
    for (Eigen::Vector2d &point : line) point = to_pixels(view, placement, shift + point);
  return out;
}

std::string board_rectangle(const View &view, const Placement &placement, const Eigen::Vector2d &low,
                            const Eigen::Vector2d &high, const std::string &style) {
  const Eigen::Vector2d a = to_pixels(view, placement, low), b = to_pixels(view, placement, high);
  return fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" class=\"{}\"/>\n",
                     std::min(a.x(), b.x()), std::min(a.y(), b.y()), std::abs(a.x() - b.x()), std::abs(a.y() - b.y()),
                     style);
}

std::string svg_start(double width, double height, const std::string &title, const std::string &about) {
  return fmt::format(
             "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
             "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" aria-labelledby=\"title about\" viewBox=\"0 0 "
             "{0:.0f} {1:.0f}\" width=\"{0:.0f}\" height=\"{1:.0f}\">\n",
             width, height) +
         "<title id=\"title\">" + escape_xml(title) + "</title>\n" + "<desc id=\"about\">" + escape_xml(about) +
         "</desc>\n";
}

std::string scale_bar(double scale, double x, double y, const std::string &style, double text_below) {
  return fmt::format("<path d=\"M{:.1f} {:.1f}v8h{:.2f}v-8\" class=\"{}\"/>\n", x, y, 0.1 * scale, style) +
         svg_text(x + 0.05 * scale, y + text_below, "small", "middle", "100 mm");
}

}  // namespace stillbox
