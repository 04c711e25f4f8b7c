// SPDX-License-Identifier: MIT
#include "postprocess/knock_map.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "postprocess/deadness.h"
#include "postprocess/face_bands.h"
#include "postprocess/net_view.h"
#include "postprocess/scattered.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double sheet_width = 1200, margin = 28, header_height = 104, footer_height = 104;
constexpr double contour_step = 5.0;  // px between points of the fine grid
const std::string ink = "#222222", quiet_ink = "#5a5a5a";

/// A level as the value -1/9 .. 1 whose five upper bands are the five colours.
double band_value(double level, const MapScale &scale) {
  const double part = 1 - (scale.top - level) / (map_colours * scale.step);
  return std::clamp(part, 0.0, 1.0) * 10 / 9 - 1.0 / 9;
}

// Cut-outs or corners without wood.
bool has_gaps(const FaceSamples &face) {
  return std::find(face.present.begin(), face.present.end(), 0) != face.present.end();
}

std::string bands_of(const FaceSamples &face, const Placement &placement, const View &view,
                     const std::vector<Eigen::Vector2d> &places, const Eigen::VectorXd &levels, const MapScale &scale) {
  const ScatteredSurface surface = surface_through(places, levels);
  Eigen::VectorXd value(face.nu * face.nv);
  for (int j = 0; j < face.nv; ++j)
    for (int i = 0; i < face.nu; ++i)
      value[i + j * face.nu] =
          band_value(surface_at(surface, {face.size[0] * i / (face.nu - 1), face.size[1] * j / (face.nv - 1)}), scale);
  const FaceBands bands = face_bands(fine_grid(face, value, 1, contour_step / view.scale));
  const auto palette = band_palette();
  std::string out = "<g transform=\"scale(.1)\">\n";
  for (int band = middle_band; band < band_count; ++band) {
    const std::string data = svg_path(to_pixels(view, placement, bands.regions[std::size_t(band)]));
    if (!data.empty())
      out += "<path d=\"" + data + "\" class=\"band\" fill=\"" + hex(palette[std::size_t(band)]) + "\"/>\n";
  }
  // The edge of the wood, where it is no rectangle.
  const std::string rim = svg_path(to_pixels(view, placement, bands.regions[std::size_t(middle_band)]));
  if (has_gaps(face) && !rim.empty()) out += "<path d=\"" + rim + "\" class=\"rim\"/>\n";
  return out + "</g>\n";
}

std::string face_picture(const KnockModel &model, const Eigen::VectorXd &levels, const ModalResult &result,
                         const Placement &placement, const View &view, const MapScale &scale) {
  const FaceSamples &face = result.faces[placement.face];
  std::vector<Eigen::Vector2d> places;
  std::vector<double> own;
  std::string dots;
  for (std::size_t p = 0; p < model.points.size(); ++p) {
    if (model.points[p].face != int(placement.face) || !std::isfinite(levels[Eigen::Index(p)])) continue;
    places.push_back(model.points[p].place);
    own.push_back(levels[Eigen::Index(p)]);
    const Eigen::Vector2d at = to_pixels(view, placement, places.back());
    dots += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"1.6\" class=\"dot\"/>\n", at.x(), at.y());
  }
  std::string title = clean_text(face.board) + ": no knock points";
  if (!own.empty())
    title = fmt::format("{}: {} points, {:.1f} to {:.1f} dB", clean_text(face.board), own.size(),
                        *std::min_element(own.begin(), own.end()), *std::max_element(own.begin(), own.end()));
  std::string out = "<g role=\"group\">\n<title>" + escape_xml(title) + "</title>\n";
  if (int(own.size()) >= least_points)
    out += bands_of(face, placement, view, places, Eigen::Map<Eigen::VectorXd>(own.data(), Eigen::Index(own.size())),
                    scale);
  if (int(own.size()) < least_points || !has_gaps(face))
    out += board_rectangle(view, placement, {0, 0}, face.size, "board");
  out += dots;
  const Eigen::Vector2d a = to_pixels(view, placement, {0, 0}), b = to_pixels(view, placement, face.size);
  const auto room = std::size_t(std::max(std::abs(a.x() - b.x()) / 6.2, 2.0));
  out += svg_text(0.5 * (a.x() + b.x()), std::min(a.y(), b.y()) + 13, "tiny", "middle",
                  shorten(clean_text(face.board), room));
  return out + "</g>\n";
}

std::string legend(const MapScale &scale, double x, double y) {
  constexpr double swatch = 74, tall = 16;
  const auto palette = band_palette();
  std::string out = "<g>\n<title>Legend</title>\n";
  out += svg_text(x, y, "label", "start",
                  "Ringing after a knock on the place, squared velocity over time, dB re (1 nm/s)^2 1 s");
  for (int band = 0; band < map_colours; ++band) {
    out += svg_rectangle(x + swatch * band, y + 8, swatch, tall, hex(palette[std::size_t(middle_band + band)]));
    if (band > 0)
      out += svg_text(x + swatch * band, y + 40, "small", "middle",
                      fmt::format("{:.0f}", scale.top - scale.step * (map_colours - band)));
  }
  out += svg_text(x, y + 40, "small", "start", "less");
  out += svg_text(x + swatch * map_colours, y + 40, "small", "middle", fmt::format("{:.0f}", scale.top));
  out += svg_text(x, y + 60, "small", "start",
                  "Dots: the knock points; colours in between follow them. All variants share this scale.");
  return out + "</g>\n";
}

std::string style() {
  return "<style>\ntext{font-family:Helvetica,Arial,'DejaVu Sans',sans-serif;fill:" + ink +
         "}\n.head{font-size:22px;font-weight:bold}.label{font-size:13px}.small{font-size:12px;fill:" + quiet_ink +
         "}.tiny{font-size:11px;paint-order:stroke;stroke:#ffffff;stroke-width:3px}\n.band{fill-rule:evenodd}"
         ".board{fill:none;stroke:" +
         quiet_ink + ";stroke-width:.8}.rim{fill:none;stroke:" + quiet_ink + ";stroke-width:8}.dot{fill:" + ink +
         ";fill-opacity:.55}\n</style>\n";
}

}  // namespace

MapScale map_scale(const std::vector<KnockModel> &models, const KnockPulse &pulse) {
  std::vector<double> all;
  for (const KnockModel &model : models)
    for (const double level : point_levels(model, pulse))
      if (std::isfinite(level)) all.push_back(level);
  MapScale scale;
  if (all.empty()) return scale;
  std::sort(all.begin(), all.end());
  scale.top = std::ceil(all.back());
  const double span = scale.top - all[all.size() / 20];  // a twentieth may share the lightest colour
  scale.step = 10;
  for (const double step : {6.0, 5.0, 3.0, 2.0, 1.0})
    if (map_colours * step >= span) scale.step = step;
  return scale;
}

std::string knock_map(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse,
                      const MapScale &scale) {
  const SheetLayout layout = lay_out(result.faces, true);
  const Eigen::Vector2d size = layout.high - layout.low;
  const std::string title = clean_text(model.case_name) + ": " + clean_text(model.variant_name);
  const std::string about =
      std::string(layout.unfolded ? "Walls unfolded around the baffle, seen from outside, to one scale. "
                                  : "Boards side by side, to one scale. ") +
      fmt::format("Knock: half-sine of {:.3g} N and {:.3g} ms.", pulse.peak, 1e3 * pulse.contact);
  View view;
  view.low = layout.low;
  view.scale = layout.placements.empty() ? 1 : std::min((sheet_width - 2 * margin) / size.x(), 900 / size.y());
  view.left = margin;
  const double height = layout.placements.empty() ? 40 : view.scale * size.y();
  view.bottom = header_height + height;
  const double sheet_height = header_height + height + 24 + footer_height;
  std::string out = svg_start(sheet_width, sheet_height, title + ", where a knock rings most", about);
  out += style() + svg_rectangle(0, 0, sheet_width, sheet_height, "#ffffff");
  out += svg_text(margin, 40, "head", "start", shorten(title, 70) + ", where a knock rings most");
  out += svg_text(margin, 64, "label", "start", about + " A prediction, not a measurement.");
  if (layout.placements.empty()) {
    out += svg_text(margin, header_height + 16, "label", "start", "No wall to show.");
    return out + "</svg>\n";
  }
  const Eigen::VectorXd levels = point_levels(model, pulse);
  for (const Placement &placement : layout.placements)
    out += face_picture(model, levels, result, placement, view, scale);
  out += legend(scale, margin, view.bottom + 40);
  out += scale_bar(view.scale, margin + 660, view.bottom + 46, "board", 26);
  return out + "</svg>\n";
}

}  // namespace stillbox
