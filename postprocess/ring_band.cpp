// SPDX-License-Identifier: MIT
#include "postprocess/ring_band.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>

namespace stillbox {
namespace {

/// b (1 + 2 z^-1 + z^-2) / (1 + a1 z^-1 + a2 z^-2)
struct Section {
  double b = 0, a1 = 0, a2 = 0;
};

/// Butterworth low-pass by the bilinear transform, as second-order sections (any text on digital filters).
std::array<Section, band_filter_order / 2> butterworth(double cut_off, double rate) {
  std::array<Section, band_filter_order / 2> sections;
  const double w = std::tan(M_PI * cut_off / rate);
  for (int k = 0; k < int(sections.size()); ++k) {
    const double damping = 2 * std::sin(M_PI * (2 * k + 1) / (2 * band_filter_order));
    const double scale = 1 + damping * w + w * w;
    sections[std::size_t(k)] = {w * w / scale, 2 * (w * w - 1) / scale, (1 - damping * w + w * w) / scale};
  }
  return sections;
}

/// One section over a run of values, transposed direct form.
template <class Value>
struct Memory {
  Value first{}, second{};
  Value step(const Section &s, Value x) {
    const Value y = s.b * x + first;
    first = 2 * s.b * x - s.a1 * y + second;
    second = s.b * x - s.a2 * y;
    return y;
  }
};

}  // namespace

std::vector<Band> bands_between(double from, double to) {
  std::vector<Band> bands;
  double low = from;
  while (low < to) {
    Band band;
    // The middle half of a band of width w about c: c - w/4 = low with w = max(100, c / 4).
    band.centre = low / (1 - 1.0 / 16);
    band.half = band.centre / 8;
    if (band.half < 50) {
      band.half = 50;
      band.centre = low + 25;
    }
    band.low = low;
    band.high = std::min(band.centre + band.half / 2, to);
    bands.push_back(band);
    low = band.centre + band.half / 2;
  }
  return bands;
}

int band_step(const Band &band, double rate) { return std::max(1, int(std::floor(rate / (4 * band.half)))); }

Eigen::VectorXcd band_signal(const std::vector<double> &x, std::size_t begin, std::size_t end, double rate,
                             const Band &band) {
  assert(begin < end && end <= x.size());
  const auto sections = butterworth(std::min(band.half, 0.49 * rate), rate);
  std::array<Memory<std::complex<double>>, band_filter_order / 2> memories;
  const auto step = std::size_t(band_step(band, rate));
  const std::size_t count = end - begin;
  Eigen::VectorXcd out(Eigen::Index((count + step - 1) / step));
  const std::complex<double> back = std::polar(1.0, 2 * M_PI * band.centre / rate);
  std::complex<double> turn;
  for (std::size_t n = count; n-- > 0;) {
    // Renewed now and then, so that rounding does not add up.
    if (n + 1 == count || n % 1024 == 1023)
      turn = std::polar(1.0, -2 * M_PI * std::fmod(band.centre * double(n) / rate, 1.0));
    std::complex<double> value = x[begin + n] * turn;
    for (std::size_t s = 0; s < sections.size(); ++s) value = memories[s].step(sections[s], value);
    if (n % step == 0) out[Eigen::Index(n / step)] = value;
    turn *= back;
  }
  return out;
}

std::complex<double> band_gain(std::complex<double> z, double rate, const Band &band) {
  // Backwards the delay z^-1 of the filter is an advance.
  std::complex<double> gain = 1;
  for (const Section &s : butterworth(std::min(band.half, 0.49 * rate), rate))
    gain *= s.b * (1.0 + 2.0 * z + z * z) / (1.0 + s.a1 * z + s.a2 * z * z);
  return gain;
}

std::vector<double> low_pass(const std::vector<double> &x, double rate, double cut_off) {
  const auto sections = butterworth(std::min(cut_off, 0.49 * rate), rate);
  std::vector<double> out = x;
  for (const Section &s : sections) {
    Memory<double> memory;
    for (double &v : out) v = memory.step(s, v);
  }
  return out;
}

}  // namespace stillbox
