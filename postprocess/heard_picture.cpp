// SPDX-License-Identifier: MIT
// The picture of heard_files.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <unsupported/Eigen/FFT>

#include "mesh/length.h"
#include "postprocess/heard_files.h"
#include "postprocess/net_view.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

constexpr double width = 1100, height = 560, left = 70, right = 1070, top = 100, bottom = 490;  // px
constexpr double shown_db = 90, stretch_time = 0.5;

/// Power over frequency from 0 in steps of rate / size, of `count` samples from `begin`; the end is faded out.
std::vector<double> power_of(const Recording &r, std::size_t begin, std::size_t count, std::size_t size) {
  std::vector<double> x(size, 0);
  for (std::size_t n = 0; n < count && begin + n < r.samples.size(); ++n) {
    const double place = double(n) / double(count);
    const double fade = place < 0.8 ? 1 : 0.5 + 0.5 * std::cos(M_PI * (place - 0.8) / 0.2);
    x[n] = fade * r.samples[begin + n];
  }
  Eigen::FFT<double> transform;
  transform.SetFlag(Eigen::FFT<double>::HalfSpectrum);
  std::vector<std::complex<double>> spectrum;
  transform.fwd(spectrum, x);
  std::vector<double> power;
  for (const auto &v : spectrum) power.push_back(std::norm(v));
  return power;
}

double step_of_axis(double span) {
  for (const double step : {10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0})
    if (span / step <= 11) return step;
  return 5000;
}

}  // namespace

std::string heard_picture(const Recording &recording, const Heard &heard) {
  const auto count = std::size_t(stretch_time * recording.rate);
  std::size_t size = 1;
  while (size < 2 * count) size *= 2;
  std::vector<double> knocks(size / 2 + 1, 0), quiet;
  for (const HeardKnock &knock : heard.knocks) {
    if (!knock.fault.empty()) continue;
    const std::vector<double> power = power_of(recording, std::size_t(knock.time * recording.rate), count, size);
    for (std::size_t i = 0; i < knocks.size(); ++i) knocks[i] += power[i] / heard.used;
  }
  const double first = heard.knocks.front().time - 0.01;
  if (first > stretch_time)
    quiet = power_of(recording, std::size_t((first - stretch_time) * recording.rate), count, size);
  const double per_bin = recording.rate / double(size);
  const auto low = std::size_t(std::ceil(heard.from / per_bin));
  const std::size_t high = std::min(std::size_t(heard.to / per_bin), knocks.size() - 1);
  double largest = 1e-300;
  for (std::size_t i = low; i <= high; ++i) largest = std::max(largest, knocks[i]);
  const auto x_of = [&](double f) { return left + (right - left) * (f - heard.from) / (heard.to - heard.from); };
  const auto y_of = [&](double db) { return top + (bottom - top) * std::clamp(-db / shown_db, 0.0, 1.0); };
  const auto curve = [&](const std::vector<double> &power) {
    Polyline line;
    for (std::size_t i = low; i <= high; ++i)
      line.emplace_back(x_of(double(i) * per_bin), y_of(10 * std::log10(power[i] / largest + 1e-30)));
    return "<g transform=\"scale(.1)\"><path d=\"" + svg_path({line}) + "\"";
  };
  const std::string title = "Heard in " + shorten(clean_text(recording.path), 70);
  const std::string about = fmt::format("{} modes between {} and {} Hz, {}.", heard.modes.size(),
                                        number_text(heard.from), number_text(heard.to), uncertainty_text(heard));
  std::string out = svg_start(width, height, title, about);
  out +=
      "<style>text{font-family:sans-serif;fill:#222222}.head{font-size:20px}.label{font-size:13px}"
      ".small{font-size:11px;fill:#5a5a5a}</style>\n";
  out += svg_rectangle(0, 0, width, height, "#ffffff");
  out += svg_text(left, 36, "head", "start", title) + svg_text(left, 58, "label", "start", about);
  out += svg_text(left, 78, "small", "start",
                  std::string("Dark: mean spectrum of the knocks") + (quiet.empty() ? "" : "; grey: the quiet before") +
                      "; lines: modes, as wide as their half-power bandwidth; dashed: steady tones.");
  for (double db = 0; db >= -shown_db; db -= 10) {
    out += fmt::format("<path d=\"M{:.1f} {:.1f}H{:.1f}\" stroke=\"#dddddd\" fill=\"none\"/>\n", left, y_of(db), right);
    out += svg_text(left - 8, y_of(db) + 4, "small", "end", number_text(db));
  }
  const double step = step_of_axis(heard.to - heard.from);
  for (double f = step * std::ceil(heard.from / step); f <= heard.to; f += step) {
    out += fmt::format("<path d=\"M{:.1f} {:.1f}V{:.1f}\" stroke=\"#dddddd\" fill=\"none\"/>\n", x_of(f), top, bottom);
    out += svg_text(x_of(f), bottom + 18, "small", "middle", number_text(f));
  }
  for (const HeardMode &mode : heard.modes) {
    const double half =
        std::max(0.75, 0.5 * mode.loss_factor * mode.frequency / (heard.to - heard.from) * (right - left));
    const double x = x_of(mode.frequency);
    out += fmt::format(
        "<rect x=\"{:.1f}\" y=\"{:.1f}\" width=\"{:.1f}\" height=\"{:.1f}\" fill=\"#d9822b\" "
        "fill-opacity=\"0.35\"/>\n",
        x - half, top, 2 * half, bottom - top);
  }
  for (const SteadyTone &tone : heard.tones)
    out +=
        fmt::format("<path d=\"M{:.1f} {:.1f}V{:.1f}\" stroke=\"#5a5a5a\" stroke-dasharray=\"4 4\" fill=\"none\"/>\n",
                    x_of(tone.frequency), top, bottom);
  if (!quiet.empty()) out += curve(quiet) + " stroke=\"#aaaaaa\" stroke-width=\"10\" fill=\"none\"/></g>\n";
  out += curve(knocks) + " stroke=\"#1f3f66\" stroke-width=\"14\" fill=\"none\"/></g>\n";
  double last = -1e9;
  int row = 0;
  for (const HeardMode &mode : heard.modes) {
    const double x = x_of(mode.frequency);
    row = x - last < 46 ? (row + 1) % 4 : 0;
    last = x;
    out += svg_text(std::clamp(x, left + 20, right - 20), top + 14 + 13 * row, "small", "middle",
                    fmt::format("{:.1f}", mode.frequency));
  }
  out += svg_text((left + right) / 2, bottom + 40, "label", "middle", "Frequency, Hz");
  out += svg_text(left, top - 8, "small", "start", "Level, dB re its largest value");
  return out + "</svg>\n";
}

}  // namespace stillbox
