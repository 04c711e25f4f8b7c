// SPDX-License-Identifier: MIT
#include "postprocess/cabinet_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "mesh/length.h"
#include "postprocess/drawing_parts.h"
#include "postprocess/net_view.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double widest = 760, margin = 46, gap = 64, tallest = 300, least_sheet = 2.0;  // px

using Box = DrawnBox;

std::string rectangle(const Drawn &d, const Box &b, const std::string &style, double least = 0) {
  return drawn_rectangle(d, b, style, least);
}

// A cut-out seen along the board's normal. Board axes lie along world axes, with either sign.
std::string cut_out_outline(const Drawn &d, const Board &board, const CutOut &c, const std::string &style) {
  const Eigen::Vector3d middle = board.at(c.centre.x(), c.centre.y(), 0);
  const bool turned = std::abs(board.u[d.across]) < 0.5;
  const double w = turned ? c.height : c.width, h = turned ? c.width : c.height;
  const double x = d.x(middle[d.across] - w / 2), y = d.y(middle[d.up] + h / 2);
  const double round = c.shape == CutOutShape::rectangle ? 0 : d.scale * std::min(w, h) / 2;
  return fmt::format(
      "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" rx=\"{:.1f}\" class=\"{}\"/>\n", x, y,
      d.scale * w, d.scale * h, round, style);
}

// How far a cut-out reaches to each side of its centre at an offset along the other direction; 0 beside it.
double half_chord(const CutOut &c, bool along_u, double offset) {
  const double along = (along_u ? c.width : c.height) / 2, across = (along_u ? c.height : c.width) / 2;
  if (std::abs(offset) >= across) return 0;
  if (c.shape == CutOutShape::rectangle) return along;
  if (c.is_circle() || c.shape == CutOutShape::round) return std::sqrt(across * across - offset * offset);
  const double radius = std::min(along, across), beyond = std::max(0.0, std::abs(offset) - (across - radius));
  return along - radius + std::sqrt(std::max(0.0, radius * radius - beyond * beyond));
}

// What a plane square to `axis` at `at` cuts of a board whose normal lies in that plane.
std::vector<Box> cut_boxes(const Drawn &d, const Board &board, int axis, double at) {
  const auto [low, high] = world_bounds(board);
  const bool along_u = std::abs(board.u[axis]) < 0.5;  // the direction of the outline that lies in the plane
  const Eigen::Vector3d &along = along_u ? board.u : board.v;
  int in_plane = 0;
  along.cwiseAbs().maxCoeff(&in_plane);
  std::vector<std::pair<double, double>> parts{{low[in_plane], high[in_plane]}};
  for (const CutOut &c : board.cut_outs) {
    const Eigen::Vector3d middle = board.at(c.centre.x(), c.centre.y(), 0);
    const double half = half_chord(c, along_u, at - middle[axis]);
    if (half <= 0) continue;
    std::vector<std::pair<double, double>> left;
    for (const auto &[from, to] : parts) {
      const double a = middle[in_plane] - half, b = middle[in_plane] + half;
      if (std::min(a, to) > from) left.emplace_back(from, std::min(a, to));
      if (to > std::max(b, from)) left.emplace_back(std::max(b, from), to);
    }
    parts.swap(left);
  }
  std::vector<Box> boxes;
  for (const auto &[from, to] : parts) {
    Box box{low[d.across], high[d.across], low[d.up], high[d.up]};
    (in_plane == d.across ? box.x_low : box.y_low) = from;
    (in_plane == d.across ? box.x_high : box.y_high) = to;
    boxes.push_back(box);
  }
  return boxes;
}

std::string section(const Structure &s, const Drawn &d, int axis, double at) {
  std::string faces, edges;
  const auto pass = [&](bool in_plane, bool braces) {
    for (const Board &board : s.boards) {
      if (!is_axis_aligned_box(board) || (board.role == BoardRole::wall) == braces) continue;
      const auto [low, high] = world_bounds(board);
      if (low[axis] > at || high[axis] < at) continue;
      if ((std::abs(board.normal()[axis]) > 0.5) != in_plane) continue;
      if (in_plane) {
        faces += rectangle(d, {low[d.across], high[d.across], low[d.up], high[d.up]}, style_of(board));
        for (const CutOut &c : board.cut_outs) faces += cut_out_outline(d, board, c, "hole");
      } else {
        for (const Box &box : cut_boxes(d, board, axis, at)) edges += rectangle(d, box, style_of(board), least_sheet);
      }
    }
  };
  for (const bool braces : {true, false})
    for (const bool in_plane : {true, false}) pass(in_plane, braces);
  return faces + edges;
}

std::string front(const Structure &s, const Drawn &d) {
  const CabinetFrame &c = *s.cabinet;
  std::string out = rectangle(d, {0, c.outer.x(), 0, c.outer.z()}, "face");
  out += rectangle(d, {c.inner_low.x(), c.inner_high.x(), c.inner_low.z(), c.inner_high.z()}, "hidden");
  for (const Board &board : s.boards) {
    if (board.role != BoardRole::brace || !is_axis_aligned_box(board)) continue;
    const auto [low, high] = world_bounds(board);
    out += rectangle(d, {low.x(), high.x(), low.z(), high.z()}, "hidden");
  }
  const Board &baffle = s.boards[std::size_t(c.walls[Wall::baffle])];
  for (const CutOut &cut : baffle.cut_outs) {
    out += cut_out_outline(d, baffle, cut, "hole");
    const Eigen::Vector3d middle = baffle.at(cut.centre.x(), cut.centre.y(), 0);
    const double room = d.scale * std::max(cut.width, 0.06);
    out += svg_text(d.x(middle.x()), d.y(middle.z()) + 4, "in", "middle",
                    shorten(clean_text(cut.name), std::max<std::size_t>(2, std::size_t(room / 7.2))));
  }
  return out;
}

std::string sizes(const Drawn &d, double across, double up) {
  const double y = d.bottom + 16, x = d.left - 12;
  std::string out = fmt::format("<path class=\"size\" d=\"M{:.1f} {:.1f}h{:.1f}m0-4v8M{:.1f} {:.1f}v8\"/>\n", d.left, y,
                                d.scale * across, d.left, y - 4);
  out += svg_text(d.left + d.scale * across / 2, y + 19, "name", "middle", number_text(std::round(1e4 * across) / 10));
  out += fmt::format("<path class=\"size\" d=\"M{:.1f} {:.1f}v{:.1f}m-4 0h8M{:.1f} {:.1f}h8\"/>\n", x, d.bottom,
                     -d.scale * up, x - 4, d.bottom);
  const double middle = d.bottom - d.scale * up / 2;
  return out + fmt::format(
                   "<text class=\"name\" text-anchor=\"middle\" transform=\"translate({:.1f} {:.1f}) "
                   "rotate(-90)\">{}</text>\n",
                   x - 7, middle, escape_xml(number_text(std::round(1e4 * up) / 10)));
}

double flat_brace(const Structure &s) {
  double at = -1;
  for (const Board &board : s.boards) {
    if (board.role != BoardRole::brace || !is_axis_aligned_box(board) || std::abs(board.normal().z()) < 0.5) continue;
    const auto [low, high] = world_bounds(board);
    const double middle = 0.5 * (low.z() + high.z());
    if (at < 0 || middle < at) at = middle;
  }
  return at;
}

const char *const style =
    "<style>text{font-family:'DejaVu Sans',Verdana,sans-serif;font-size:14px;fill:#3a4046}"
    ".view{font-weight:bold;font-size:14px}.in{font-size:12px}"
    ".face{fill:#f4efe6;stroke:#3a4046;stroke-width:1.4}.wall{fill:#d8c7a8;stroke:#3a4046;stroke-width:.9}"
    ".brace{fill:#9db4bf;stroke:#3a4046;stroke-width:.9}.sheet{fill:#4d4d57;stroke:#3a4046;stroke-width:.6}"
    ".hole{fill:#fff;stroke:#3a4046;stroke-width:1.1}.hidden{fill:none;stroke:#6b7178;stroke-dasharray:5 3}"
    ".size{fill:none;stroke:#6b7178;stroke-width:.9}</style>\n";

}  // namespace

std::string drawn_rectangle(const Drawn &d, const DrawnBox &b, const std::string &style, double least) {
  const double w = d.scale * (b.x_high - b.x_low), h = d.scale * (b.y_high - b.y_low);
  if (w <= 0 || h <= 0) return "";
  return fmt::format("<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" class=\"{}\"/>\n",
                     d.x(b.x_low), d.y(b.y_high), std::max(w, least), std::max(h, least), style);
}

std::string style_of(const Board &board) {
  return board.role == BoardRole::wall ? "wall" : board.role == BoardRole::brace ? "brace" : "sheet";
}

std::string three_views(const Structure &s, const Eigen::Vector3d &size, double level,
                        const std::function<std::string(int, const Drawn &)> &drawn) {
  const double room = widest - 2 * margin - 2 * gap;
  const double scale = std::min({room / (2 * size.x() + size.y()), tallest / size.z(), tallest / size.y()});
  const double height = scale * std::max(size.z(), size.y());
  const double bottom = 26 + height;
  const double used = scale * (2 * size.x() + size.y()) + 2 * gap;
  const double left = margin, wide = used + 2 * margin + 40;  // room for the last heading
  const Drawn views[3] = {{0, 2, left, bottom, scale},
                          {1, 2, left + scale * size.x() + gap, bottom, scale},
                          {0, 1, left + scale * (size.x() + size.y()) + 2 * gap, bottom, scale}};
  std::string out = svg_start(wide, bottom + 42, clean_text(s.case_name) + ": " + clean_text(s.variant_name),
                              "Front view, section from the side and section from above, to one scale, in mm.");
  out += style;
  for (int v = 0; v < 3; ++v) out += drawn(v, views[v]);
  const auto head = [&](const Drawn &d, double up, const std::string &text) {
    return svg_text(d.left, d.bottom - d.scale * up - 9, "view", "start", text);
  };
  out += head(views[0], size.z(), "Front") + head(views[1], size.z(), "Side, cut midway") +
         head(views[2], size.y(), fmt::format("Above, at {:.0f} mm", 1e3 * level));
  return out + sizes(views[0], size.x(), size.z()) + sizes(views[1], size.y(), size.z()) +
         sizes(views[2], size.x(), size.y()) + "</svg>\n";
}

std::string cabinet_drawing(const Structure &s) {
  if (!s.cabinet) return "";
  const Eigen::Vector3d size = s.cabinet->outer;
  const double brace = flat_brace(s), level = brace > 0 ? brace : 0.5 * size.z();
  return three_views(s, size, level, [&](int view, const Drawn &d) {
    return view == 0 ? front(s, d) : view == 1 ? section(s, d, 0, 0.5 * size.x()) : section(s, d, 2, level);
  });
}

}  // namespace stillbox
