// SPDX-License-Identifier: MIT
#include "postprocess/drive_pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "postprocess/drive_bands.h"
#include "postprocess/frequency_plot.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

const PlotSize drive_size{1000, 760};
const char *const driver_style = "lw 3 lc rgb '#b8b8b8'";

struct Curve {
  std::string title, style;
  std::vector<std::pair<double, double>> points;
};

struct CurvePanel {
  std::string heading, axis, key;  ///< where the names of the curves stand
  std::vector<Curve> curves;
  double depth = 0;  ///< show at most this much below the greatest value; 0: all
};

Curve curve_of(const DriveSolution &s, const std::string &title, const std::string &style,
               const std::function<double(std::size_t)> &value) {
  Curve curve{title, style, {}};
  for (std::size_t i = 0; i < s.sound.size(); ++i) {
    const double y = value(i);
    if (std::isfinite(y)) curve.points.emplace_back(s.frequencies[Eigen::Index(i)], y);
  }
  return curve;
}

std::string name_of(const DriveSolution &s) { return shorten(clean_text(s.variant_name), 40); }

// Two panels, one above the other, over the same frequencies.
Plot draw_panels(const std::vector<DriveSolution> &variants, const std::vector<CurvePanel> &panels,
                 const std::string &what, bool with_png = true) {
  double high = drive_from * 1.01;
  for (const DriveSolution &s : variants) high = std::max(high, s.frequencies.maxCoeff());
  const std::string title = shorten(clean_text(variants.front().case_name), 70) + ": " + what;
  std::string out, draw;
  for (std::size_t p = 0; p < panels.size(); ++p) {
    double top = -1e300, bottom = 1e300;
    std::string plot;
    for (std::size_t c = 0; c < panels[p].curves.size(); ++c) {
      const Curve &curve = panels[p].curves[c];
      if (curve.points.empty()) continue;
      out += fmt::format("$curve_{}_{} << EOD\n", p, c);
      for (const auto &[x, y] : curve.points) {
        out += fmt::format("{:.6g} {:.4g}\n", x, y);
        top = std::max(top, y);
        bottom = std::min(bottom, y);
      }
      out += "EOD\n";
      plot += fmt::format("{}$curve_{}_{} with lines {} title {}", plot.empty() ? "plot " : ", ", p, c, curve.style,
                          gnuplot_string(curve.title));
    }
    if (plot.empty()) continue;
    if (panels[p].depth > 0) {
      top = 10 * std::ceil(top / 10);
      bottom = std::max(10 * std::floor(bottom / 10), top - panels[p].depth);
    } else {
      bottom = 0;
      top *= 1.05;
    }
    const double above = 64 + p * 348.0, below = above + 290;
    draw += fmt::format("set tmargin at screen {:.4f}\nset bmargin at screen {:.4f}\nset yrange [{:.4g}:{:.4g}]\n",
                        1 - above / drive_size.height, 1 - below / drive_size.height, bottom,
                        top > bottom ? top : bottom + 1);
    draw += "set key " + panels[p].key + " Left reverse samplen 3\nset ylabel " + gnuplot_string(panels[p].axis) +
            " offset -0.4,0\nset label 3 " + gnuplot_string(panels[p].heading) +
            " at graph 1, graph 1.035 right font ',12'\n" + plot + "\n";
    if (p == 0) draw += "unset label 1\nunset label 2\n";
  }
  out += "set multiplot\nset style line 1 lw 0.6 lc rgb '#d8d8d8'\nset grid xtics ytics mxtics ls 1\n";
  out += "set border lc rgb '" + plot_ink + "'\nset xlabel 'Hz' offset 0,0.6\n";
  out += fmt::format("set lmargin at screen {:.4f}\nset rmargin at screen {:.4f}\n", 80.0 / drive_size.width,
                     980.0 / drive_size.width);
  out += frequency_axis(drive_from, high);
  out += "set label 1 " + gnuplot_string(title) +
         fmt::format(" at screen 0.08, screen {:.4f} font ',16'\n", 1 - 22.0 / drive_size.height);
  out +=
      "set label 2 " +
      gnuplot_string("Free space, no room, no floor; linear. A prediction, not a measurement. A guide, no standard.") +
      fmt::format(" at screen 0.08, screen {:.4f} font ',11'\n", 1 - 44.0 / drive_size.height);
  return draw_with_gnuplot(out + draw + "unset multiplot\nunset label\n", drive_size, title, with_png);
}

}  // namespace

Plot drive_walls_plot(const std::vector<DriveSolution> &variants, bool with_png) {
  CurvePanel level{fmt::format("at {:.3g} m on the axis", axis_distance), "dB re 20 µPa", "bottom right", {}, 90};
  CurvePanel ratio{"walls over driver, mean over all directions", "dB", "top left", {}, 80};
  const DriveSolution &base = variants.front();
  level.curves.push_back(curve_of(base, "driver, " + name_of(base), driver_style,
                                  [&](std::size_t i) { return sound_level(std::abs(base.sound[i].driver.on_axis)); }));
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const DriveSolution &s = variants[v];
    level.curves.push_back(curve_of(s, "walls, " + name_of(s), line_style(v),
                                    [&](std::size_t i) { return sound_level(std::abs(s.sound[i].walls.on_axis)); }));
    ratio.curves.push_back(
        curve_of(s, name_of(s), line_style(v), [&](std::size_t i) { return walls_on_sphere(s.sound[i]); }));
  }
  return draw_panels(variants, {level, ratio}, "sound of walls and driver", with_png);
}

Plot drive_impedance_plot(const std::vector<DriveSolution> &variants) {
  const DriveSolution &base = variants.front();
  CurvePanel magnitude{clean_text(base.drivers.front()), "ohm", "top right", {}, 0};
  CurvePanel change{"what the walls' motion changes, |Z - Z with the walls held still|", "ohm", "top right", {}, 0};
  magnitude.curves.push_back(curve_of(base, "walls held still, " + name_of(base), driver_style,
                                      [&](std::size_t i) { return std::abs(base.still[i].impedance[0]); }));
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const DriveSolution &s = variants[v];
    magnitude.curves.push_back(
        curve_of(s, name_of(s), line_style(v), [&](std::size_t i) { return std::abs(s.answers[i].impedance[0]); }));
    change.curves.push_back(curve_of(s, name_of(s), line_style(v), [&](std::size_t i) {
      return std::abs(s.answers[i].impedance[0] - s.still[i].impedance[0]);
    }));
  }
  return draw_panels(variants, {magnitude, change}, "impedance of the driver on its box");
}

}  // namespace stillbox
