// SPDX-License-Identifier: MIT
#include "postprocess/knock_finder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "postprocess/ring_band.h"

namespace stillbox {
namespace {

constexpr int predictor_order = 48;
constexpr double window_time = 0.002, apart_time = 0.008;  // s
constexpr double above_median = 30, below_loudest = 0.03, second_share = 0.1, above_dip = 5, onset_share = 0.25;
constexpr double rise_factor = 6, rise_below_loudest = 0.01;

/// Coefficients a of x[n] ~ -sum a[k] x[n-1-k].
std::vector<double> burg(const std::vector<double> &x, int order) {
  std::vector<double> forward = x, backward = x, a;
  for (int m = 0; m < order; ++m) {
    double above = 0, below = 0;
    for (std::size_t n = std::size_t(m) + 1; n < x.size(); ++n) {
      above += forward[n] * backward[n - 1];
      below += forward[n] * forward[n] + backward[n - 1] * backward[n - 1];
    }
    if (!(below > 0)) break;
    const double reflection = -2 * above / below;
    std::vector<double> next(a.size() + 1);
    for (std::size_t k = 0; k < a.size(); ++k) next[k] = a[k] + reflection * a[a.size() - 1 - k];
    next.back() = reflection;
    a = next;
    for (std::size_t n = x.size() - 1; n > std::size_t(m); --n) {
      const double f = forward[n], b = backward[n - 1];
      forward[n] = f + reflection * b;
      backward[n] = b + reflection * f;
    }
  }
  return a;
}

struct Hit {
  std::size_t window = 0;
  double energy = 0;
  bool is_rise = false;  ///< found by the energy of the signal
};

std::vector<Hit> hits_in(const std::vector<double> &energy, std::size_t around) {
  std::vector<double> sorted = energy;
  std::nth_element(sorted.begin(), sorted.begin() + std::ptrdiff_t(sorted.size() / 2), sorted.end());
  const double median = sorted[sorted.size() / 2];
  const double loudest = *std::max_element(energy.begin(), energy.end());
  std::vector<Hit> hits;
  for (std::size_t w = 0; w < energy.size(); ++w) {
    if (energy[w] <= above_median * median || energy[w] < below_loudest * loudest || energy[w] <= 0) continue;
    const std::size_t low = w - std::min(w, around), high = std::min(w + around + 1, energy.size());
    bool is_most = true;
    for (std::size_t v = low; v < high; ++v) is_most = is_most && (energy[v] < energy[w] || v >= w);
    if (is_most && std::none_of(energy.begin() + std::ptrdiff_t(w) + 1, energy.begin() + std::ptrdiff_t(high),
                                [&](double e) { return e > energy[w]; }))
      hits.push_back({w, energy[w]});
  }
  return hits;
}

std::vector<double> window_energies(const std::vector<double> &x, std::size_t width) {
  std::vector<double> energy(x.size() / width, 0);
  for (std::size_t n = 0; n < energy.size() * width; ++n) energy[n / width] += x[n] * x[n];
  return energy;
}

/// Adds the hits that only the energy of the signal shows.
void add_rises(std::vector<Hit> &hits, const std::vector<double> &energy, double per_window) {
  constexpr std::size_t ahead = 3, gap = 1;
  const auto behind = std::size_t(std::round(0.05 / per_window));
  std::vector<double> sums{0};
  for (const double e : energy) sums.push_back(sums.back() + e);
  const auto mean = [&](std::size_t from, std::size_t to) { return (sums[to] - sums[from]) / double(to - from); };
  double loudest = 0;
  for (std::size_t w = 0; w + ahead <= energy.size(); ++w) loudest = std::max(loudest, mean(w, w + ahead));
  const std::vector<Hit> sharp = hits;
  double last = -1;
  for (std::size_t w = 5 + gap; w + ahead <= energy.size(); ++w) {
    const double now = mean(w, w + ahead), time = double(w) * per_window;
    const double before = mean(w - gap - std::min(behind, w - gap), w - gap);
    if (now <= rise_factor * before || now < rise_below_loudest * loudest) continue;
    const bool is_known = std::any_of(sharp.begin(), sharp.end(), [&](const Hit &hit) {
      const double there = double(hit.window) * per_window;
      return there > time - double_hit_time && there < time + 0.02;
    });
    if (is_known || (last >= 0 && time - last < double_hit_time)) continue;
    last = time;
    hits.push_back({w, 0, true});
  }
  std::sort(hits.begin(), hits.end(), [](const Hit &a, const Hit &b) { return a.window < b.window; });
}

}  // namespace

Innovation innovation_of(const Recording &recording, double to) {
  const double cut_off = std::min(1.25 * to, 0.45 * recording.rate);
  const std::vector<double> smooth = low_pass(recording.samples, recording.rate, cut_off);
  const auto step = std::size_t(std::max(1.0, std::floor(recording.rate / (4 * cut_off))));
  std::vector<double> x;
  for (std::size_t n = 0; n < smooth.size(); n += step) x.push_back(smooth[n]);
  double mean = 0;
  for (const double v : x) mean += v / double(x.size());
  for (double &v : x) v -= mean;
  Innovation result;
  result.rate = recording.rate / double(step);
  result.values.assign(x.size(), 0);
  result.signal = x;
  const std::vector<double> a = burg(x, std::min<int>(predictor_order, int(x.size() / 8)));
  for (std::size_t n = a.size(); n < x.size(); ++n) {
    double e = x[n];
    for (std::size_t k = 0; k < a.size(); ++k) e += a[k] * x[n - 1 - k];
    result.values[n] = e;
  }
  return result;
}

std::vector<HeardKnock> find_knocks(const Recording &recording, double to) {
  const Innovation innovation = innovation_of(recording, to);
  const auto width = std::size_t(std::max(1.0, std::round(window_time * innovation.rate)));
  const std::vector<double> energy = window_energies(innovation.values, width);
  std::vector<HeardKnock> knocks;
  if (energy.size() < 8) return knocks;
  const double per_window = double(width) / innovation.rate;
  std::vector<Hit> hits = hits_in(energy, std::size_t(std::round(apart_time / 2 / per_window)));
  add_rises(hits, window_energies(innovation.signal, width), per_window);
  const double end = double(recording.samples.size()) / recording.rate;
  for (std::size_t i = 0; i < hits.size();) {
    std::size_t next = i + 1;
    while (next < hits.size() && double(hits[next].window - hits[next - 1].window) * per_window < double_hit_time)
      ++next;
    HeardKnock knock;
    double strongest = 0;
    for (std::size_t k = i; k < next; ++k) strongest = std::max(strongest, hits[k].energy);
    // The first value above a quarter of the largest, from just before the first hit on.
    const std::vector<double> &trace = hits[i].is_rise ? innovation.signal : innovation.values;
    const std::size_t from = (hits[i].window - std::min<std::size_t>(hits[i].window, 3)) * width;
    const std::size_t to_sample = std::min((hits[i].window + (hits[i].is_rise ? 4 : 2)) * width, trace.size());
    double largest = 0;
    for (std::size_t n = from; n < to_sample; ++n) largest = std::max(largest, std::abs(trace[n]));
    std::size_t onset = from;
    while (onset + 1 < to_sample && std::abs(trace[onset]) < onset_share * largest) ++onset;
    knock.time = double(onset) / innovation.rate;
    for (std::size_t k = i + 1; k < next && knock.fault.empty(); ++k) {
      const double later = double(hits[k].window - hits[i].window) * per_window;
      const double dip = *std::min_element(energy.begin() + std::ptrdiff_t(hits[i].window),
                                           energy.begin() + std::ptrdiff_t(hits[k].window));
      if (!hits[k].is_rise && later >= apart_time && hits[k].energy >= second_share * strongest &&
          hits[k].energy > above_dip * dip)
        knock.fault = fmt::format("double hit, {:.0f} ms later", 1e3 * later);
    }
    const double follower = next < hits.size() ? double(hits[next].window) * per_window : end;
    if (knock.fault.empty() && follower - knock.time < least_spacing)
      knock.fault = fmt::format("{:.0f} ms before the {}", 1e3 * (follower - knock.time),
                                next < hits.size() ? "next knock" : "end of the recording");
    const auto first = std::size_t(knock.time * recording.rate);
    const std::size_t last = std::min(first + std::size_t(0.05 * recording.rate), recording.samples.size());
    for (std::size_t n = first; n < last; ++n) knock.peak = std::max(knock.peak, std::abs(recording.samples[n]));
    knocks.push_back(knock);
    i = next;
  }
  return knocks;
}

}  // namespace stillbox
