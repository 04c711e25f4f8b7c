// SPDX-License-Identifier: MIT
#include "postprocess/unfolded_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

#include "postprocess/face_bands.h"
#include "postprocess/net_view.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double sheet_width = 1200, margin = 28, gutter = 36;
constexpr double header_height = 92, caption_height = 92, footer_height = 200, letter_width = 6.9;
constexpr double contour_step = 2.0;  // px between points of the fine grid
const std::string ink = "#222222";
const std::string quiet_ink = "#5a5a5a";

/// 1 / largest movement over the drawn faces, with the sign that turns the largest one outwards. Points that move as
/// far as the largest within a thousandth count as equal; the first of them decides, so that rounding does not.
double scale_of(const std::vector<FaceSamples> &faces, const SheetLayout &layout, std::size_t mode) {
  double most = 0;
  const auto each = [&](const auto &visit) {
    for (const Placement &placement : layout.placements) {
      const FaceSamples &face = faces[placement.face];
      for (std::size_t p = 0; p < face.present.size(); ++p) {
        if (face.present[p]) visit(face.normal[mode][static_cast<Eigen::Index>(p)]);
      }
    }
  };
  each([&](double value) { most = std::max(most, std::abs(value)); });
  double scale = 0;
  each([&](double value) {
    if (scale == 0 && most > 0 && std::abs(value) >= 0.999 * most) scale = (value > 0 ? 1 : -1) / most;
  });
  return scale;
}

std::string path_element(const std::string &data, const std::string &attributes) {
  return data.empty() ? "" : "<path d=\"" + data + "\" " + attributes + "/>\n";
}

std::string face_picture(const FaceSamples &face, const Placement &placement, const View &view, std::size_t mode,
                         double scale, double step = contour_step) {
  const FaceBands bands = face_bands(fine_grid(face, face.normal[mode], scale, step / view.scale));
  const auto palette = band_palette();
  std::string out;
  const auto paint = [&](int band) {
    const auto b = static_cast<std::size_t>(band);
    out += path_element(
        svg_path(to_pixels(view, placement, bands.regions[b])),
        "class=\"" + std::string(band == middle_band ? "wood" : "band") + "\" fill=\"" + hex(palette[b]) + "\"");
  };
  paint(middle_band);
  for (int band = middle_band - 1; band >= 0; --band) paint(band);
  for (int band = middle_band + 1; band < band_count; ++band) paint(band);
  out += path_element(svg_path(to_pixels(view, placement, bands.nodal_lines)), "class=\"nodal\"");
  out += path_element(svg_path(to_pixels(view, placement, bands.regions[middle_band])), "class=\"rim\"");
  return out;
}

/// Caption and picture of one mode with its upper left corner at (x, y).
std::string panel(const ModalResult &result, const SheetLayout &layout, std::size_t m, double x, double y, double width,
                  double height, double scale) {
  const Mode &mode = result.modes[m];
  const std::string title = fmt::format("Mode {}, {:.1f} Hz", m + 1, mode.frequency);
  const std::string decay =
      fmt::format("loss factor {:.3f}, Q {:.0f}, T60 {:.2f} s", mode.loss_factor, mode.quality, mode.decay_time);
  const std::string label = clean_text(mode.label);
  std::string out = "<g role=\"group\">\n<title>" + escape_xml(title + ": " + label + "; " + decay) + "</title>\n";
  out += svg_text(x, y + 18, "mode", "start", title);
  out += svg_text(x, y + 36, "small", "start", decay);
  const auto lines = wrap(label, static_cast<std::size_t>(width / letter_width));
  for (std::size_t l = 0; l < std::min<std::size_t>(lines.size(), 2); ++l) {
    out += svg_text(x, y + 54 + 16 * static_cast<double>(l), "label", "start",
                    l == 1 && lines.size() > 2 ? lines[l] + " ..." : lines[l]);
  }
  View view;
  view.low = layout.low;
  view.scale = scale;
  view.left = x + 0.5 * (width - scale * (layout.high.x() - layout.low.x()));
  view.bottom = y + caption_height + height;
  const double normalised = scale_of(result.faces, layout, m);
  out += "<g transform=\"scale(.1)\">\n";
  for (const Placement &placement : layout.placements) {
    out += face_picture(result.faces[placement.face], placement, view, m, normalised);
  }
  return out + "</g>\n</g>\n";
}

/// Colour steps, nodal line, and what in and out mean.
std::string legend(bool unfolded, double x, double y) {
  constexpr double swatch = 34, tall = 16;
  const auto palette = band_palette();
  std::string out = "<g>\n<title>Legend</title>\n";
  out += svg_text(x, y, "label", "start", "in");
  out += svg_text(x + swatch * band_count, y, "label", "end",
                  unfolded ? "out (on the baffle: towards the listener)" : "out (along the board's normal)");
  for (int band = 0; band < band_count; ++band) {
    out += svg_rectangle(x + swatch * band, y + 8, swatch, tall, hex(palette[static_cast<std::size_t>(band)]));
  }
  out += fmt::format("<path d=\"M{:.1f} {:.1f}v{:.1f}\" class=\"nodal-key\"/>\n", x + swatch * band_count / 2, y + 6,
                     tall + 4);
  out += svg_text(x, y + 40, "small", "start", "-1");
  out += svg_text(x + swatch * band_count / 2, y + 40, "small", "middle", "nodal line: at rest");
  out += svg_text(x + swatch * band_count, y + 40, "small", "end", "1");
  out += svg_text(x, y + 60, "small", "start", "Part of the mode's largest movement, in steps of 2/9.");
  out += svg_text(x, y + 76, "small", "start", "Half a period later in and out have changed places.");
  return out + "</g>\n";
}

/// Small outlines with the names of the faces.
std::string face_key(const std::vector<FaceSamples> &faces, const SheetLayout &layout, double right, double y,
                     double height) {
  const Eigen::Vector2d size = layout.high - layout.low;
  View view;
  view.low = layout.low;
  view.scale = std::min(height / size.y(), 420 / size.x());
  view.left = right - view.scale * size.x();
  view.bottom = y + view.scale * size.y();
  std::string out =
      "<g>\n<title>" + std::string(layout.unfolded ? "Which wall is where" : "Which board is where") + "</title>\n";
  for (const Placement &placement : layout.placements) {
    const FaceSamples &face = faces[placement.face];
    const Eigen::Vector2d a = to_pixels(view, placement, {0, 0}), b = to_pixels(view, placement, face.size);
    const double width = std::abs(a.x() - b.x());
    out += board_rectangle(view, placement, {0, 0}, face.size, "key");
    const auto room = static_cast<std::size_t>(width / 4.9);
    out += svg_text(0.5 * (a.x() + b.x()), 0.5 * (a.y() + b.y()) + 3.5, "tiny", "middle",
                    shorten(clean_text(face.board), std::max<std::size_t>(room, 2)));
  }
  return out + "</g>\n";
}

std::string style() {
  return "<style>\n"
         "text{font-family:Helvetica,Arial,'DejaVu Sans',sans-serif;fill:" +
         ink +
         "}\n"
         ".head{font-size:22px;font-weight:bold}.mode{font-size:16px;font-weight:bold}.label{font-size:13px}\n"
         ".small{font-size:12px;fill:" +
         quiet_ink + "}.tiny{font-size:9px;fill:" + quiet_ink +
         "}\n"
         ".wood,.band{fill-rule:evenodd}\n"
         ".rim{fill:none;stroke:" +
         quiet_ink +
         ";stroke-width:8}\n"
         ".nodal{fill:none;stroke:" +
         ink +
         ";stroke-width:12;stroke-linecap:round;stroke-linejoin:round}\n"
         ".nodal-key{stroke:" +
         ink + ";stroke-width:1.2}.key{fill:none;stroke:" + quiet_ink +
         ";stroke-width:.8}\n"
         "</style>\n";
}

}  // namespace

std::string unfolded_picture(const ModalResult &result, int most_modes) {
  assert(most_modes >= 1);
  const SheetLayout layout = lay_out(result.faces);
  const Eigen::Vector2d size = layout.high - layout.low;
  const std::size_t modes =
      layout.placements.empty() ? 0 : std::min(result.modes.size(), static_cast<std::size_t>(std::min(most_modes, 24)));

  const double aspect = size.y() > 0 ? size.x() / size.y() : 1;
  const std::size_t wanted = aspect > 2.5 ? 2 : 3;
  const std::size_t columns = std::max<std::size_t>(1, std::min(wanted, modes));
  const double width = std::min(
      560.0, (sheet_width - 2 * margin - gutter * static_cast<double>(columns - 1)) / static_cast<double>(columns));
  const double scale = modes > 0 ? std::min(width / size.x(), 420 / size.y()) : 1;
  const double height = scale * size.y();
  const std::size_t rows = (modes + columns - 1) / columns;
  const double row_height = caption_height + height + gutter;
  const double footer = header_height + static_cast<double>(rows) * row_height;
  const double sheet_height = footer + footer_height;

  const std::string title = clean_text(result.case_name) + ": " + clean_text(result.variant_name);
  const std::string about = layout.unfolded ? "Walls unfolded around the baffle, seen from outside, to one scale."
                                            : "Boards side by side, to one scale.";
  std::string out = svg_start(sheet_width, sheet_height, title + ", shapes of the first modes",
                              about + " Normal displacement in nine bands with nodal lines.");
  out += style() + svg_rectangle(0, 0, sheet_width, sheet_height, "#ffffff");
  out += svg_text(margin, 40, "head", "start", shorten(title, 90));
  out += svg_text(margin, 64, "label", "start", about + " A prediction, not a measurement.");
  for (std::size_t m = 0; m < modes; ++m) {
    const double x = margin + static_cast<double>(m % columns) * (width + gutter);
    out += panel(result, layout, m, x, header_height + static_cast<double>(m / columns) * row_height, width, height,
                 scale);
  }
  if (modes > 0) {
    out += legend(layout.unfolded, margin, footer + 30);
    out += scale_bar(scale, margin + 380, footer + 38, "key", 24);
    out += face_key(result.faces, layout, sheet_width - margin, footer + 14, footer_height - 34);
  } else {
    out += svg_text(margin, header_height + 20, "label", "start", "No modes to show.");
  }
  return out + "</svg>\n";
}

std::string unfolded_mode_picture(const ModalResult &result, std::size_t mode) {
  constexpr double wide = 420, tall = 330, edge = 3, coarse_step = 3;
  const SheetLayout layout = lay_out(result.faces);
  const Eigen::Vector2d size = layout.high - layout.low;
  const std::string title = fmt::format("Mode {}, {:.1f} Hz: {}", mode + 1, result.modes[mode].frequency,
                                        clean_text(result.modes[mode].label));
  if (layout.placements.empty()) return svg_start(wide, 20, title, "No face to draw.") + "</svg>\n";
  View view;
  view.low = layout.low;
  view.scale = std::min(wide / size.x(), tall / size.y());
  view.left = edge;
  view.bottom = edge + view.scale * size.y();
  std::string out = svg_start(std::ceil(view.scale * size.x() + 2 * edge), std::ceil(view.scale * size.y() + 2 * edge),
                              title, "Normal displacement in nine bands with nodal lines.");
  out += style() + "<g transform=\"scale(.1)\">\n";
  const double normalised = scale_of(result.faces, layout, mode);
  for (const Placement &placement : layout.placements)
    out += face_picture(result.faces[placement.face], placement, view, mode, normalised, coarse_step);
  return out + "</g>\n</svg>\n";
}

std::string unfolded_key(const ModalResult &result) {
  const SheetLayout layout = lay_out(result.faces);
  std::string out = svg_start(760, 170, "Key to the pictures", "Colours of the bands, and which wall is where.");
  out += style();
  if (layout.placements.empty()) return out + "</svg>\n";
  return out + legend(layout.unfolded, 8, 40) + face_key(result.faces, layout, 752, 8, 150) + "</svg>\n";
}

}  // namespace stillbox
