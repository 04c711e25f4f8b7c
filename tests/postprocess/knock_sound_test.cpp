// SPDX-License-Identifier: MIT
#include "postprocess/knock_sound.h"

#include <sndfile.h>

#include <cmath>
#include <filesystem>

#include "postprocess/deadness.h"
#include "postprocess/loudness.h"
#include "postprocess/ring_response.h"
#include "postprocess/safe_file.h"
#include "postprocess/wav_file.h"
#include "tests/postprocess/knock_samples.h"

namespace stillbox {
namespace {

using test::only_modes;
using test::pi;
using test::plate_box;

struct Heard {
  int rate = 0, channels = 0, format = 0;
  std::vector<double> samples;
};

Heard read_back(const std::string &bytes) {
  const auto path = std::filesystem::temp_directory_path() / ("stillbox-sound-" + std::to_string(::getpid()) + ".wav");
  write_file(path.string(), bytes);
  SF_INFO info{};
  SNDFILE *file = ::sf_open(path.c_str(), SFM_READ, &info);
  Heard out;
  EXPECT_NE(file, nullptr);
  if (file) {
    out = {info.samplerate, info.channels, info.format, std::vector<double>(std::size_t(info.frames))};
    EXPECT_EQ(::sf_read_double(file, out.samples.data(), info.frames), info.frames);
    ::sf_close(file);
  }
  std::filesystem::remove(path);
  return out;
}

double peak_of(const std::vector<double> &samples, std::size_t from = 0, std::size_t count = std::size_t(-1)) {
  double most = 0;
  for (std::size_t n = from; n < samples.size() && n - from < count; ++n) most = std::max(most, std::abs(samples[n]));
  return most;
}

double energy_of(const std::vector<double> &samples, double start, double seconds) {
  double sum = 0;
  const auto from = std::size_t(std::lround(start * sound_rate)),
             count = std::size_t(std::lround(seconds * sound_rate));
  for (std::size_t n = from; n < std::min(samples.size(), from + count); ++n) sum += samples[n] * samples[n];
  return sum;
}

// 1.2 kg/m3 x 0.5 m3/s2 / (4 pi 2 m) = 0.023873 Pa (by hand).
TEST(KnockSound, MonopoleByHand) { EXPECT_NEAR(monopole_pressure(0.5, 2), 0.0238732, 1e-6); }

// Walls of 6 x 0.25 m2 are a sphere of radius 0.3455 m: k a = 1 at 343 / (2 pi 0.3455) = 158.0 Hz (by hand).
TEST(KnockSound, PointSourceLimitByHand) {
  KnockModel model;
  model.wall_area.assign(6, 0.25);
  EXPECT_NEAR(point_source_limit(model), 158.0, 0.1);
}

// The volume acceleration against a direct integration of the modal equation x'' + w^2 x = f in small steps.
TEST(KnockSound, VolumeAccelerationAgreesWithTimeStepping) {
  test::KnockSample sample = only_modes(plate_box("steps", 1e-6), {0});
  const KnockPulse pulse;
  int point = 0;
  sample.model.shapes.cwiseAbs().col(0).maxCoeff(&point);
  const double w = std::abs(sample.model.poles[0]), shape = sample.model.shapes(point, 0).real();
  const double volume = sample.model.volume.col(0).sum().real();
  const auto a = volume_acceleration(sample.model, pulse, point, 480);
  constexpr int fine = 200;
  const double step = 1.0 / (fine * double(sound_rate));
  double x = 0, v = 0;
  const auto pull = [&](double t, double at) { return -shape * pulse_force(pulse, t) - w * w * at; };
  double most = 0;
  for (const double value : a) most = std::max(most, std::abs(value));
  for (int n = 0; n < 480; ++n) {
    EXPECT_NEAR(a[std::size_t(n)], volume * pull(double(n) / sound_rate, x), 1e-4 * most) << n;
    for (int i = 0; i < fine; ++i) {  // velocity Verlet
      const double t = double(n) / sound_rate + i * step;
      const double half = v + 0.5 * step * pull(t, x);
      x += step * half;
      v = half + 0.5 * step * pull(t + step, x);
    }
  }
}

TEST(KnockSound, FilesAreSafeAndTrue) {
  const test::KnockSample a = plate_box("bare", 0.02), b = plate_box("stiffer", 0.06, 1.2);
  const KnockPulse pulse;
  const KnockSounds sounds = knock_sounds({a.model, b.model}, {a.result, b.result}, pulse);
  ASSERT_TRUE(sounds.why_none.empty());
  ASSERT_EQ(sounds.knocks.size(), 6u);  // three walls, the mirrors of which are left out, times two
  EXPECT_NE(sounds.knocks[0].wall, sounds.knocks[2].wall);
  for (const SoundedKnock &knock : sounds.knocks) EXPECT_EQ(knock.off_spot, 0);

  const Heard equal = read_back(wav_bytes(sounds.equal_force, sound_rate));
  const Heard matched = read_back(wav_bytes(sounds.matched, sound_rate));
  for (const Heard *file : {&equal, &matched}) {
    EXPECT_EQ(file->rate, 48000);
    EXPECT_EQ(file->channels, 1);
    EXPECT_EQ(file->format, SF_FORMAT_WAV | SF_FORMAT_PCM_24);
    EXPECT_NEAR(20 * std::log10(peak_of(file->samples)), sound_peak, 0.01);  // and so below -6 dB of full scale
  }

  // Level differences in the equal-force file are the model's.
  for (std::size_t k = 0; k < 6; k += 2) {
    const SoundedKnock &first = sounds.knocks[k], &second = sounds.knocks[k + 1];
    EXPECT_EQ(first.wall, second.wall);
    const double in_file =
        10 * std::log10(energy_of(equal.samples, first.start, 0.2) / energy_of(equal.samples, second.start, 0.2));
    double by_model[2];
    const test::KnockSample *samples[2] = {&a, &b};
    for (int v = 0; v < 2; ++v) {
      const KnockModel &model = samples[v]->model;
      const Eigen::Vector2d place = sounds.knocks[k + std::size_t(v)].place;
      int point = -1;
      for (std::size_t p = 0; p < model.points.size(); ++p)
        if (model.points[p].place == place && model.walls[std::size_t(model.points[p].face)] == first.wall)
          point = int(p);
      ASSERT_GE(point, 0);
      by_model[v] = 0;
      for (const double value : volume_acceleration(model, pulse, point, 9600)) by_model[v] += value * value;
    }
    EXPECT_NEAR(in_file, 10 * std::log10(by_model[0] / by_model[1]), 0.01);
  }

  // In the matched file the A-weighted energy of the first 200 ms is the same for all.
  std::vector<double> energies;
  for (const SoundedKnock &knock : sounds.knocks) {
    const auto from = matched.samples.begin() + std::lround(knock.start * sound_rate);
    energies.push_back(a_weighted_energy({from, from + 9600}, sound_rate));
  }
  for (const double energy : energies) EXPECT_NEAR(10 * std::log10(energy / energies[0]), 0, 0.01);
}

// Decay read from the file's samples against the mode's own, within 2 %.
TEST(KnockSound, DecayInTheFileIsTheModes) {
  const test::KnockSample one = only_modes(plate_box("one", 0.02), {0});
  const KnockSounds sounds = knock_sounds({one.model}, {one.result}, {});
  ASSERT_TRUE(sounds.why_none.empty());
  const Heard file = read_back(wav_bytes(sounds.equal_force, sound_rate));
  const double start = sounds.knocks[0].start + 0.01;
  const double f = one.result.modes[0].frequency, period = 1 / f;
  const double first = energy_of(file.samples, start, 10 * period);
  const double later = energy_of(file.samples, start + 40 * period, 10 * period);
  const double t60 = 60 * 40 * period / (10 * std::log10(first / later));
  EXPECT_NEAR(t60, 3 * std::log(10.0) / (pi * 0.02 * f), 0.02 * t60);
}

TEST(KnockSound, FreeBoardsAndSilentOnesSayWhy) {
  test::KnockSample sample = plate_box("free", 0.02);
  sample.result.inner_volume = 0;
  for (FaceSamples &face : sample.result.faces) face.role = "free";
  EXPECT_NE(knock_sounds({sample.model}, {sample.result}, {}).why_none.find("free boards"), std::string::npos);
  for (FaceSamples &face : sample.result.faces) face.role = "wall";  // with or without a room that is known
  sample.model.volume.setZero();
  EXPECT_NE(knock_sounds({sample.model}, {sample.result}, {}).why_none.find("net volume"), std::string::npos);
  const test::KnockSample none = only_modes(plate_box("none", 0.02), {});
  EXPECT_FALSE(knock_sounds({none.model}, {none.result}, {}).why_none.empty());
}

}  // namespace
}  // namespace stillbox
