// SPDX-License-Identifier: MIT
// The map of sheet_value_report.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/face_bands.h"
#include "postprocess/net_view.h"
#include "postprocess/sheet_value_report.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double sheet_width = 1200, margin = 28, header_height = 104, gutter = 44, footer_height = 110;
constexpr double contour_step = 2.0;  // px between points of the fine grid
constexpr int bands = band_count - middle_band;
const std::string ink = "#222222";
const std::string quiet_ink = "#5a5a5a";

/// Faces drawn to one scale in one group: the boards' outlines as the net wants them, and which value lies on which
/// (null: nothing clear).
struct Part {
  std::vector<FaceSamples> outlines;
  std::vector<const SheetFace *> values;
  SheetLayout layout;
};

/// A board's outer plane by its bounds; role "free" for what is to lie side by side.
FaceSamples outline_of(const Board &board, const std::string &role) {
  const auto [low, high] = outline_bounds(board);
  FaceSamples face;
  face.board = board.name;
  face.role = role;
  face.size = high - low;
  face.nu = face.nv = 2;
  face.origin = board.at(low.x(), low.y(), board.thickness());
  face.u = board.u;
  face.v = board.v;
  face.present.assign(4, 1);
  return face;
}

Part part_of(const Structure &s, const SheetValue &value, const std::string &role, bool with_walls) {
  Part part;
  // In the order of the boards, not of the ranks.
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const std::size_t before = part.outlines.size();
    for (const SheetFace &face : value.faces) {
      if (face.face.board != int(b) || face.role != role) continue;
      part.outlines.push_back(outline_of(s.boards[b], with_walls ? "wall" : "free"));
      part.values.push_back(&face);
    }
    if (!with_walls || s.boards[b].role != BoardRole::wall || part.outlines.size() > before) continue;
    part.outlines.push_back(outline_of(s.boards[b], "wall"));  // the net needs all of them
    part.values.push_back(nullptr);
  }
  part.layout = lay_out(part.outlines);
  return part;
}

/// Rows no wider than `width` (m); a single face may be.
std::vector<Part> in_rows(const Part &part, double width) {
  std::vector<Part> rows;
  double used = 0;
  for (std::size_t f = 0; f < part.outlines.size(); ++f) {
    used += 1.1 * part.outlines[f].size.x();
    if (rows.empty() || used > width) {
      rows.emplace_back();
      used = 1.1 * part.outlines[f].size.x();
    }
    rows.back().outlines.push_back(part.outlines[f]);
    rows.back().values.push_back(part.values[f]);
  }
  for (Part &row : rows) row.layout = lay_out(row.outlines);
  return rows;
}

/// The value that 1 % of the bare wood lies above.
double top_of_scale(const SheetValue &value) {
  std::vector<std::pair<double, double>> falling;  // -value, area
  double total = 0;
  for (const SheetFace &face : value.faces)
    for (std::size_t p = 0; p < face.face.open.size(); ++p) {
      if (face.face.open[p] == 0) continue;
      const double area = face.face.open[p] * face.face.pitch().prod();
      falling.emplace_back(-face.value[Eigen::Index(p)], area);
      total += area;
    }
  std::sort(falling.begin(), falling.end());
  double sum = 0;
  for (const auto &[negative, area] : falling) {
    sum += area;
    if (sum >= 0.01 * total) return std::max(-negative, 0.0);
  }
  return 0;
}

/// The coloured bands of one face; `shift` is from the outline's corner to the board's origin.
std::string bands_of(const SheetFace &face, const Placement &placement, const View &view, const Eigen::Vector2d &shift,
                     double top) {
  const OpenFace &raster = face.face;
  const Eigen::Vector2d half = raster.pitch() / 2;
  FaceSamples samples;  // the middles of the raster's rectangles
  samples.nu = raster.nu;
  samples.nv = raster.nv;
  samples.size = raster.size - 2 * half;
  Eigen::VectorXd level = Eigen::VectorXd::Zero(face.value.size());
  for (Eigen::Index p = 0; p < level.size(); ++p) {
    samples.present.push_back(raster.open[std::size_t(p)] >= 0.5);
    // Five equal bands on the upper half of the nine: value 0 at -1/9, the top of the scale at 1.
    if (top > 0) level[p] = std::clamp(face.value[p] / top, 0.0, 1.0) * 10 / 9 - 1.0 / 9;
  }
  if (std::none_of(samples.present.begin(), samples.present.end(), [](char c) { return c != 0; })) return "";
  const FaceBands drawn = face_bands(fine_grid(samples, level, 1, contour_step / view.scale));
  const auto palette = band_palette();
  const Eigen::Vector2d start = shift + raster.low + half;
  std::string out = "<g transform=\"scale(.1)\">\n";
  for (int band = middle_band; band < band_count; ++band) {
    const std::string data = svg_path(to_pixels(view, placement, drawn.regions[std::size_t(band)], start));
    if (!data.empty())
      out += "<path d=\"" + data + "\" class=\"band\" fill=\"" + hex(palette[std::size_t(band)]) + "\"/>\n";
  }
  return out + "</g>\n";
}

std::string face_picture(const Structure &s, const Part &part, const Placement &placement, const View &view, double top,
                         const SheetFace *champion) {
  const FaceSamples &outline = part.outlines[placement.face];
  const Eigen::Vector2d size = outline.size;
  const Eigen::Vector2d a = to_pixels(view, placement, {0, 0}), b = to_pixels(view, placement, size);
  const auto room = std::size_t(std::max(std::abs(a.x() - b.x()) / 6.2, 2.0));
  const auto label = [&](const std::string &text) {
    return svg_text(0.5 * (a.x() + b.x()), std::min(a.y(), b.y()) + 13, "tiny", "middle", shorten(text, room));
  };
  if (!part.values[placement.face])
    return board_rectangle(view, placement, {0, 0}, size, "board") + label(clean_text(outline.board) + ", covered");
  const SheetFace &face = *part.values[placement.face];
  const Eigen::Vector2d shift = -outline_bounds(s.boards[std::size_t(face.face.board)]).first;
  const std::string name = clean_text(face.board) + ", " + face.face.word;
  std::string out = "<g role=\"group\">\n<title>" +
                    escape_xml(fmt::format("{}: best {:.2f} thousandths at [{:.0f}, {:.0f}] mm", name,
                                           1e3 * face.best.added, 1e3 * face.centre.x(), 1e3 * face.centre.y())) +
                    "</title>\n";
  out += bands_of(face, placement, view, shift, top);
  out += board_rectangle(view, placement, {0, 0}, size, "board");
  out += board_rectangle(view, placement, shift + face.low, shift + face.high, &face == champion ? "champion" : "best");
  out += label(name);
  return out + "</g>\n";
}

std::string legend(double top, double x, double y) {
  constexpr double swatch = 74, tall = 16;
  const auto palette = band_palette();
  std::string out = "<g>\n<title>Legend</title>\n";
  out += svg_text(x, y, "label", "start", "Added loss factor per square decimetre, in thousandths");
  for (int band = 0; band < bands; ++band) {
    out += svg_rectangle(x + swatch * band, y + 8, swatch, tall, hex(palette[std::size_t(middle_band + band)]));
    out += svg_text(x + swatch * band, y + 40, "small", band == 0 ? "start" : "middle",
                    fmt::format("{:.3g}", 1e3 * top / 100 * band / bands));
  }
  out += svg_text(x + swatch * bands, y + 40, "small", "middle", fmt::format("{:.3g}", 1e3 * top / 100));
  out += svg_text(x, y + 60, "small", "start", "1 % of the wood lies above the top of the scale. White: not clear.");
  return out + "</g>\n";
}

std::string style() {
  return "<style>\n"
         "text{font-family:Helvetica,Arial,'DejaVu Sans',sans-serif;fill:" +
         ink +
         "}\n"
         ".head{font-size:22px;font-weight:bold}.label{font-size:13px}.small{font-size:12px;fill:" +
         quiet_ink +
         "}.tiny{font-size:11px;paint-order:stroke;stroke:#ffffff;stroke-width:3px}\n.band{fill-rule:evenodd}.board{"
         "fill:none;stroke:" +
         quiet_ink + ";stroke-width:.8}\n.best{fill:none;stroke:" + ink +
         ";stroke-width:1.2;stroke-dasharray:5 3}.champion{fill:none;stroke:" + ink + ";stroke-width:3}\n</style>\n";
}

}  // namespace

std::string sheet_value_picture(const Structure &s, const SheetValue &value) {
  std::vector<Part> parts;
  const Part walls = part_of(s, value, "wall", true);
  if (!walls.layout.placements.empty()) parts.push_back(walls);
  const double room = walls.layout.placements.empty() ? 1.2 : walls.layout.high.x() - walls.layout.low.x();
  for (const char *role : {"free", "brace"})
    for (const Part &row : in_rows(part_of(s, value, role, false), room)) parts.push_back(row);
  double widest = 0;
  for (const Part &part : parts) widest = std::max(widest, part.layout.high.x() - part.layout.low.x());
  double scale = widest > 0 ? (sheet_width - 2 * margin) / widest : 1;
  for (const Part &part : parts) scale = std::min(scale, 720 / (part.layout.high.y() - part.layout.low.y()));
  double height = header_height;
  for (const Part &part : parts) height += scale * (part.layout.high.y() - part.layout.low.y()) + gutter;
  const double footer = height, sheet_height = footer + footer_height;

  const SheetFace *champion = nullptr;
  for (const SheetFace &face : value.faces)
    if (!champion || face.best.added > champion->best.added * (1 + 1e-6)) champion = &face;
  const double top = top_of_scale(value);
  const std::string title = clean_text(value.case_name) + ": " + clean_text(value.variant_name);
  const SheetMode &first = value.modes.front(), &last = value.modes.back();
  const std::string about =
      fmt::format("What {:.3g} mm of {} adds to {}.", 1e3 * value.thickness, clean_text(value.material),
                  value.modes.size() == 1 ? fmt::format("mode {}, {:.1f} Hz", first.number, first.frequency)
                                          : fmt::format("modes {} to {}, {:.1f} to {:.1f} Hz, on average", first.number,
                                                        last.number, first.frequency, last.frequency));
  std::string out = svg_start(sheet_width, sheet_height, title + ", where a damping sheet adds most", about);
  out += style() + svg_rectangle(0, 0, sheet_width, sheet_height, "#ffffff");
  out += svg_text(margin, 40, "head", "start", shorten(title, 90));
  out += svg_text(margin, 64, "label", "start", about + " A prediction, not a measurement.");
  out += svg_text(margin, 82, "label", "start",
                  std::string(!value.has_cabinet ? ""
                              : walls.layout.unfolded
                                  ? "Inner faces of the walls, unfolded around the baffle and seen from outside, "
                                    "through the wall. "
                                  : "Inner faces of the walls side by side, seen from outside, through the wall. ") +
                      "Dashed: the best square decimetre of a face; bold: the best of all.");
  if (parts.empty()) {
    out += svg_text(margin, header_height + 16, "label", "start", "No clear face is left for a sheet.");
    return out + "</svg>\n";
  }
  double y = header_height;
  for (const Part &part : parts) {
    const Eigen::Vector2d size = part.layout.high - part.layout.low;
    View view;
    view.low = part.layout.low;
    view.scale = scale;
    view.left = margin;
    view.bottom = y + scale * size.y();
    for (const Placement &placement : part.layout.placements)
      out += face_picture(s, part, placement, view, top, champion);
    y += scale * size.y() + gutter;
  }
  out += legend(top, margin, footer + 20);
  out += scale_bar(scale, margin + 520, footer + 26, "board", 26);
  return out + "</svg>\n";
}

}  // namespace stillbox
