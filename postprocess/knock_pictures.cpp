// SPDX-License-Identifier: MIT
#include "postprocess/knock_pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "postprocess/deadness.h"
#include "postprocess/frequency_plot.h"
#include "postprocess/knock_spectra.h"
#include "postprocess/palette.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr int per_octave = 180;

std::string title_of(const std::vector<KnockModel> &models) {
  return models.empty() ? "" : clean_text(models.front().case_name);
}

/// One panel: a name, and per variant the points and weights it takes.
struct Panel {
  std::string name;
  std::vector<std::vector<int>> points;
  std::vector<Eigen::VectorXd> weights;
};

std::vector<Panel> panels_of(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results) {
  std::vector<Panel> panels(1);
  panels[0].name = "all walls";
  panels[0].points.resize(models.size());
  panels[0].weights.resize(models.size());
  for (std::size_t v = 0; v < models.size(); ++v) {
    panels[0].points[v].resize(models[v].points.size());
    std::iota(panels[0].points[v].begin(), panels[0].points[v].end(), 0);
    panels[0].weights[v] = point_weights(models[v], results[v]);
    for (std::size_t p = 0; p < models[v].points.size(); ++p) {
      const std::string &name = results[v].faces[std::size_t(models[v].points[p].face)].board;
      auto it = std::find_if(panels.begin() + 1, panels.end(), [&](const Panel &panel) { return panel.name == name; });
      if (it == panels.end()) {
        panels.push_back({name, std::vector<std::vector<int>>(models.size()), {}});
        it = panels.end() - 1;
      }
      it->points[v].push_back(int(p));
    }
  }
  for (auto it = panels.begin() + 1; it != panels.end(); ++it)
    for (const std::vector<int> &list : it->points)
      it->weights.push_back(
          Eigen::VectorXd::Constant(Eigen::Index(list.size()), 1.0 / std::max<double>(1, double(list.size()))));
  if (panels.size() == 2) panels.erase(panels.begin());
  return panels;
}

double lowest_mode(const std::vector<KnockModel> &models, double otherwise) {
  double low = otherwise;
  for (const KnockModel &model : models)
    for (const std::complex<double> &pole : model.poles) low = std::min(low, ring_mode(pole).frequency);
  return low;
}

double highest(const std::vector<KnockModel> &models) {
  double high = 0;
  for (const KnockModel &model : models) high = std::max(high, model.up_to);
  return high;
}

}  // namespace

Plot response_plot(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results, bool with_png) {
  const std::vector<Panel> panels = panels_of(models, results);
  const double high = highest(models), low = std::max(0.3 * lowest_mode(models, high), high / 1000);
  double top = -1e300, bottom = 1e300;
  std::string data;
  std::vector<std::string> plots;
  for (std::size_t p = 0; p < panels.size(); ++p) {
    std::string plot;
    for (std::size_t v = 0; v < models.size(); ++v) {
      if (panels[p].points[v].empty()) continue;
      const Eigen::VectorXd f = peak_frequencies(models[v], low, models[v].up_to, per_octave);
      const Eigen::VectorXd level =
          20 * (mean_mobility(models[v], panels[p].points[v], panels[p].weights[v], f).array() / 1e-9).log10();
      const std::string name = fmt::format("$curve_{}_{}", p, v);
      data += name + " << EOD\n";
      for (Eigen::Index n = 0; n < f.size(); ++n) {
        data += fmt::format("{:.6g} {:.2f}\n", f[n], level[n]);
        top = std::max(top, level[n]);
        bottom = std::min(bottom, level[n]);
      }
      data += "EOD\n";
      plot += (plot.empty() ? "plot " : ", ") + name + " with lines " + line_style(v) + " title " +
              (p == 0 ? gnuplot_string(shorten(clean_text(models[v].variant_name), 40)) : "''");
    }
    plots.push_back(plot);
  }
  top = 10 * std::ceil(top / 10);
  bottom = std::max(10 * std::floor(bottom / 10), top - 100);

  // Pixels: the first panel over the whole width, the others in two columns below it.
  const int rows = (int(panels.size()) - 1 + 1) / 2;
  const double head = 64, foot = 16, tall = 300, small = 190;
  PlotSize size{1100, int(head + tall + rows * small + foot)};
  std::string out = data;
  out +=
      "set multiplot\nset style line 1 lw 0.6 lc rgb '#d8d8d8'\nset grid xtics ytics mxtics ls 1\nset border lc rgb '" +
      plot_ink + "'\n";
  out += frequency_axis(low, high) + fmt::format("set yrange [{:.0f}:{:.0f}]\nset ytics 20\n", bottom, top);
  out += "set label 1 " + gnuplot_string(shorten(title_of(models), 80) + ": how easily a knock moves the walls") +
         fmt::format(" at screen {:.4f}, screen {:.4f} font ',16'\n", 70.0 / size.width, 1 - 22.0 / size.height);
  out += "set label 2 " +
         gnuplot_string(
             "Velocity level at a force of 1 N on the place itself (drive-point mobility), rms over the knock "
             "points, dB re 1 nm/(N s). A prediction, not a measurement.") +
         fmt::format(" at screen {:.4f}, screen {:.4f} font ',11'\n", 70.0 / size.width, 1 - 44.0 / size.height);
  for (std::size_t p = 0; p < panels.size(); ++p) {
    const bool first = p == 0;
    const double column = first ? 0 : double((p - 1) % 2), row = first ? 0 : double((p - 1) / 2);
    const double left = (first ? 70 : 70 + column * 520), right = first ? 1080 : left + 490;
    const double above = first ? head : head + tall + row * small, below = above + (first ? tall : small) - 44;
    out += fmt::format("set lmargin at screen {:.4f}\nset rmargin at screen {:.4f}\n", left / size.width,
                       right / size.width);
    out += fmt::format("set tmargin at screen {:.4f}\nset bmargin at screen {:.4f}\n", 1 - above / size.height,
                       1 - below / size.height);
    out +=
        first ? "set key top left Left reverse samplen 3\nset xlabel 'Hz' offset 0,0.6\n" : "unset key\nunset xlabel\n";
    out += column == 0 ? "set ylabel 'dB' offset -0.6,0\nset format y '%g'\n" : "unset ylabel\nset format y ''\n";
    out += "set label 3 " + gnuplot_string(shorten(clean_text(panels[p].name), 40)) +
           " at graph 0.985, graph 0.92 right font ',13'\n";
    if (!plots[p].empty()) out += plots[p] + "\n";
    if (first) out += "unset label 1\nunset label 2\n";
  }
  out += "unset multiplot\nunset label\n";
  return draw_with_gnuplot(out, size, title_of(models) + ", response of the walls to a force", with_png);
}

DecayFrame decay_frame(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse) {
  DecayFrame frame;
  frame.high = highest(models);
  double lowest = frame.high, slowest = 0, top = 0;
  for (std::size_t v = 0; v < models.size(); ++v) {
    const Deadness d = deadness(models[v], results[v], pulse);
    if (d.all.lowest_heard < 0) continue;
    lowest = std::min(lowest, d.modes[std::size_t(d.all.lowest_heard)].frequency);
    slowest =
        std::max(slowest, time_until(ring_energy_of(models[v], results[v], pulse), std::pow(10, -frame.range / 10)));
  }
  frame.window = std::clamp(18 / lowest, 0.02, 0.2);
  frame.low = std::max(0.6 * valid_periods / frame.window, frame.high / 1000);
  frame.last = std::clamp(std::ceil(slowest / 0.05) * 0.05, 0.05, 2.0);
  const Eigen::VectorXd start = Eigen::VectorXd::Zero(1);
  for (std::size_t v = 0; v < models.size(); ++v) {
    const double from = valid_periods / frame.window;
    if (models[v].up_to <= from) continue;
    const Eigen::VectorXd f = peak_frequencies(models[v], from, models[v].up_to, 24);
    top = std::max(
        top, decay_spectra(models[v], point_weights(models[v], results[v]), pulse, frame.window, start, f).maxCoeff());
  }
  frame.top = top > 0 ? 5 * std::ceil(20 * std::log10(top / 1e-6) / 5) : 0;
  return frame;
}

Plot decay_plot(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse, const DecayFrame &frame) {
  constexpr int points = 480;
  const Eigen::VectorXd times = Eigen::VectorXd::LinSpaced(decay_slices, 0, frame.last);
  Eigen::VectorXd f(points);
  const double high = std::min(model.up_to, frame.high);
  for (int n = 0; n < points; ++n) f[n] = frame.low * std::pow(high / frame.low, double(n) / (points - 1));
  const Eigen::MatrixXd spectra = decay_spectra(model, point_weights(model, result), pulse, frame.window, times, f);

  const double bottom = frame.top - frame.range, rise = 1.9 * frame.range / decay_slices;  // dB from slice to slice
  const double behind = rise * (decay_slices - 1);
  std::string out, plot;
  for (int j = 0; j < decay_slices; ++j) {
    const double base = behind - rise * j;
    out += fmt::format("$slice_{} << EOD\n{:.6g} {:.2f}\n", j, f[0], base);
    const auto height = [&](int n) {
      if (n < 0 || n >= points) return 0.0;
      return std::max(0.0, 20 * std::log10(std::max(spectra(j, n), 1e-30) / 1e-6) - bottom);
    };
    for (int n = 0; n < points; ++n)  // what lies along the floor needs no points
      if (height(n - 1) > 0 || height(n) > 0 || height(n + 1) > 0)
        out += fmt::format("{:.6g} {:.2f}\n", f[n], base + height(n));
    out += fmt::format("{:.6g} {:.2f}\nEOD\n", f[points - 1], base);
    const std::string colour = hex(colour_of(20 + 45.0 * j / decay_slices, 30, 276));
    plot += (j == 0 ? "plot " : ", \\\n") +
            fmt::format(
                "$slice_{} with filledcurves closed fs solid 1 fc rgb '#ffffff' notitle, $slice_{} with lines "
                "lw 1.1 lc rgb '{}' notitle",
                j, j, colour);
  }
  const PlotSize size{1000, 760};
  const double valid = valid_periods / frame.window;
  out += frequency_axis(frame.low, frame.high) + fmt::format("set yrange [0:{:.2f}]\n", behind + frame.range + 3);
  out += "set border 11 lc rgb '" + plot_ink +
         "'\nset xlabel 'Hz'\nset lmargin 10\nset rmargin 11\nset tmargin at screen 0.88\n";
  std::string levels, moments;
  for (double level = bottom; level <= frame.top + 1e-6; level += 10)
    levels += fmt::format("{}'{:.0f}' {:.2f}", levels.empty() ? "" : ", ", level, behind + level - bottom);
  for (int k = 0; k <= 5; ++k)
    moments += fmt::format("{}'{:.3g}' {:.2f}", k == 0 ? "" : ", ", 1e3 * frame.last * k / 5, behind * (1 - k / 5.0));
  out += "set ytics nomirror (" + levels + ")\nset y2tics (" + moments + ")\n" +
         fmt::format("set y2range [0:{:.2f}]\n", behind + frame.range + 3);
  out += "set label 4 'dB re 1 µm/s², first window' at graph -0.075, graph 0.80 center rotate by 90 font ',11'\n";
  out +=
      "set label 5 'ms from the end of the contact to the start of the window' at graph 1.085, graph 0.36 center "
      "rotate by 90 font ',11'\n";
  out += "set label 1 " +
         gnuplot_string(shorten(clean_text(model.case_name) + ": " + clean_text(model.variant_name), 70) +
                        ", how a knock dies away") +
         fmt::format(" at screen 0.09, screen {:.4f} font ',16'\n", 1 - 24.0 / size.height);
  out += "set label 2 " +
         gnuplot_string(fmt::format("Acceleration in windows of {:.0f} ms, rms over knocks and places; "
                                    "half-sine of {:.3g} N and {:.3g} ms. A prediction, not a measurement.",
                                    1e3 * frame.window, pulse.peak, 1e3 * pulse.contact)) +
         fmt::format(" at screen 0.09, screen {:.4f} font ',11'\n", 1 - 48.0 / size.height);
  if (valid > frame.low) {
    out += fmt::format(
        "set object 1 rectangle from {:.6g}, graph 0 to {:.6g}, graph 1 front fc rgb '#9a9a9a' fs transparent solid "
        "0.55 noborder\n",
        frame.low, std::min(valid, frame.high));
    out += "set label 3 " +
           gnuplot_string(
               fmt::format("not valid below {:.0f} Hz: fewer than {:.0f} periods in a window", valid, valid_periods)) +
           fmt::format(" at {:.6g}, graph 0.03 rotate by 90 front font ',11'\n",
                       std::sqrt(frame.low * std::min(valid, frame.high)));
  }
  out += plot + "\nunset label\nunset object\n";
  return draw_with_gnuplot(out, size,
                           clean_text(model.case_name) + ": " + clean_text(model.variant_name) + ", decay of a knock");
}

}  // namespace stillbox
