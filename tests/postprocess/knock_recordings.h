// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>
#include <sndfile.h>

#include <cmath>
#include <complex>
#include <random>
#include <string>
#include <vector>

#include "postprocess/recording.h"

// Recordings made by the tests: sums of decaying sines with noise and hum, invented, no real box.

namespace stillbox {

struct TestMode {
  double frequency = 0;  ///< Hz, |s| / 2 pi
  double loss_factor = 0;
  double amplitude = 0;
  double phase = 0;  ///< rad
};

struct TestHum {
  double frequency = 0, amplitude = 0;
};

struct TestKnocks {
  double rate = 48000, length = 2;   ///< Hz, s
  std::vector<double> times{0.5};    ///< s
  std::vector<double> strengths{1};  ///< one per knock
  std::vector<TestMode> modes;
  std::vector<TestHum> hum;
  double noise = 0;    ///< standard deviation per sample, white
  double contact = 0;  ///< s: half-sine pulse the ringing is convolved with; 0: a sudden start
  unsigned seed = 1;
};

inline double normal(std::mt19937 &engine) {
  // Box and Muller, so that every library gives the same numbers.
  const double u = (double(engine()) + 1) / 4294967297.0, v = double(engine()) / 4294967296.0;
  return std::sqrt(-2 * std::log(u)) * std::cos(2 * M_PI * v);
}

inline Recording make_knocks(const TestKnocks &what) {
  Recording r;
  r.path = "made-by-the-test.wav";
  r.rate = what.rate;
  r.samples.assign(std::size_t(what.length * what.rate), 0);
  const std::size_t pulse = std::max<std::size_t>(1, std::size_t(what.contact * what.rate));
  for (std::size_t k = 0; k < what.times.size(); ++k)
    for (const TestMode &mode : what.modes) {
      const double size = 2 * M_PI * mode.frequency, sigma = 0.5 * mode.loss_factor * size;
      const std::complex<double> s(-sigma, std::sqrt(size * size - sigma * sigma));
      const auto first = std::size_t(std::ceil(what.times[k] * what.rate));
      const double late = double(first) / what.rate - what.times[k];  // knocks do not fall on samples
      const std::complex<double> strike =
          what.strengths.at(k) * mode.amplitude * std::polar(1.0, mode.phase) * std::exp(s * late);
      const std::complex<double> step = std::exp(s / what.rate);
      std::complex<double> ringing = 0;
      for (std::size_t n = first; n < r.samples.size(); ++n) {
        ringing *= step;
        const std::size_t p = n - first;
        if (p < pulse)
          ringing +=
              strike *
              (what.contact > 0 ? std::sin(M_PI * (double(p) + 0.5) / double(pulse)) * M_PI / 2 / double(pulse) : 1.0);
        r.samples[n] += ringing.imag();
      }
    }
  for (std::size_t n = 0; n < r.samples.size(); ++n)
    for (const TestHum &hum : what.hum)
      r.samples[n] += hum.amplitude * std::sin(2 * M_PI * hum.frequency * double(n) / what.rate + 0.4);
  std::mt19937 engine(what.seed);
  for (double &v : r.samples) v += what.noise * normal(engine);
  return r;
}

/// Writes a recording as 16-bit WAV (or another of libsndfile's formats).
inline void write_wav(const std::string &path, const Recording &r, int format = SF_FORMAT_WAV | SF_FORMAT_PCM_16,
                      int channels = 1) {
  SF_INFO info{};
  info.samplerate = int(r.rate);
  info.channels = channels;
  info.format = format;
  SNDFILE *file = sf_open(path.c_str(), SFM_WRITE, &info);
  ASSERT_NE(file, nullptr) << path << ": " << sf_strerror(nullptr);
  std::vector<double> frames;
  for (const double v : r.samples)
    for (int c = 0; c < channels; ++c) frames.push_back(c + 1 == channels ? v : 0.25 * v);
  sf_command(file, SFC_SET_CLIPPING, nullptr, SF_TRUE);
  sf_writef_double(file, frames.data(), sf_count_t(r.samples.size()));
  sf_close(file);
}

}  // namespace stillbox
