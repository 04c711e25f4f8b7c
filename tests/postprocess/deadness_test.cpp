// SPDX-License-Identifier: MIT
#include "postprocess/deadness.h"

#include <cmath>

#include "postprocess/ring_response.h"
#include "postprocess/third_octave.h"
#include "tests/postprocess/knock_samples.h"

namespace stillbox {
namespace {

using test::only_modes;
using test::pi;
using test::plate_box;

TEST(Deadness, ModesByTheirPoles) {
  const RingMode mode = ring_mode(test::pole_of(612, 0.04));
  EXPECT_NEAR(mode.frequency, 612, 1e-9);
  EXPECT_NEAR(mode.loss_factor, 0.04, 1e-12);
  EXPECT_NEAR(mode.quality, 25, 1e-9);
  // T60 = 3 ln 10 / (pi eta f) to first order in eta.
  EXPECT_NEAR(mode.decay_time, 3 * std::log(10.0) / (pi * 0.04 * 612), 1e-3 * mode.decay_time);
}

// One mode alone: every figure by hand.
TEST(Deadness, FiguresOfASingleModeByHand) {
  const test::KnockSample sample = only_modes(plate_box("one", 0.02), {0});
  const KnockPulse pulse;
  const Deadness d = deadness(sample.model, sample.result, pulse);
  const double f = d.modes[0].frequency, w = 2 * pi * f, drive = pi / pulse.contact;
  // Free velocity amplitude of a unit mass after a half-sine (as in ring_test.cpp), times w for acceleration; damping
  // during the contact takes less than 1 - exp(-eta w T / 2) of it.
  const double acceleration =
      w * 2 * pulse.peak * drive / std::abs(drive * drive - w * w) * std::abs(std::cos(w * pulse.contact / 2));
  // 6 x 6 midpoints: the mean of sin^2 sin^2 is exactly 1/4, so of x^2 is 1 / mass.
  const WallDeadness &wall =
      *std::find_if(d.walls.begin(), d.walls.end(), [](const auto &x) { return x.strongest == 0; });
  const double mass = 750 * 0.018 * wall.area;
  const double level = 20 * std::log10(acceleration / mass / std::sqrt(2.0) / 1e-6);
  EXPECT_NEAR(wall.level[0], level, 20 * std::log10(std::exp(0.02 * w * pulse.contact / 2)) + 0.02);
  EXPECT_EQ(wall.lowest_heard, 0);
  EXPECT_EQ(wall.longest, 0);
  const double rate = 0.02 * w;  // of the energy, 1/s
  EXPECT_NEAR(wall.left_20ms, std::exp(-0.02 * rate), 0.02 * wall.left_20ms);
  EXPECT_NEAR(wall.left_100ms, std::exp(-0.1 * rate), 0.02 * wall.left_100ms);
  EXPECT_NEAR(wall.time_to_60, d.modes[0].decay_time, 0.01 * wall.time_to_60);
  EXPECT_NEAR(wall.centre_time, 1 / rate, 0.02 / rate);
  // Velocity amplitude squared over two, over the energy's rate.
  const double energy = std::pow(std::pow(10, wall.level[0] / 20) * 1e-6 / w, 2) / rate;
  EXPECT_NEAR(wall.energy_level, 10 * std::log10(energy / 1e-18), 0.05);
  ASSERT_EQ(wall.bands.size(), 1u);
  EXPECT_EQ(wall.bands[0].band, third_octave_of(f));
  EXPECT_NEAR(wall.bands[0].fit.t20, d.modes[0].decay_time, 0.01 * d.modes[0].decay_time);
  EXPECT_EQ(wall.bands[0].share, 1);
}

/// Means over knocks and places by the long way: every pair of points, the signal summed in time.
TEST(Deadness, MeansAgreeWithEveryPairOfPoints) {
  const test::KnockSample sample = plate_box("pairs", 0.05, 1, 2, 700);
  const KnockPulse pulse;
  const Deadness d = deadness(sample.model, sample.result, pulse);
  const RingModes ring = ring_modes(sample.model);
  const Eigen::VectorXcd velocity = after_contact(ring, pulse).cwiseProduct(ring.poles);
  const auto energy = [&](int r, int s, double from) {
    const Eigen::VectorXcd b =
        ring.shapes.row(r).transpose().cwiseProduct(ring.shapes.row(s).transpose()).cwiseProduct(velocity);
    double sum = 0;
    constexpr double step = 2e-5;
    Eigen::VectorXcd u = b.array() * (ring.poles.array() * (from + step / 2)).exp();
    const Eigen::VectorXcd turn = (ring.poles.array() * step).exp();
    for (int n = 0; n < 20000; ++n) {
      sum += std::pow(u.sum().real(), 2) * step;
      u = u.cwiseProduct(turn);
    }
    return sum;
  };
  const WallDeadness &left = d.walls[2];
  ASSERT_EQ(left.wall, "left");
  double whole = 0, later = 0;
  for (int r = 8; r < 12; ++r)
    for (int s = 8; s < 12; ++s) {
      whole += energy(r, s, 0) / 16;
      later += energy(r, s, 0.02) / 16;
    }
  EXPECT_NEAR(left.energy_level, 10 * std::log10(whole / 1e-18), 0.01);
  EXPECT_NEAR(left.left_20ms, later / whole, 2e-3 * left.left_20ms);
  EXPECT_NEAR(point_levels(sample.model, pulse)[9], 10 * std::log10(energy(9, 9, 0) / 1e-18), 0.01);
  EXPECT_NEAR(point_weights(sample.model, sample.result).sum(), 1, 1e-12);
}

TEST(Deadness, HeardIsWithinThirtyDecibels) {
  test::KnockSample sample = only_modes(plate_box("heard", 0.02), {0, 1, 2});
  // All on one wall with even shapes, so that levels follow from the amplitudes given here.
  sample.model.shapes.setOnes();
  sample.model.poles << test::pole_of(300, 0.02), test::pole_of(400, 0.02), test::pole_of(500, 0.005);
  const KnockPulse pulse{20, 1e-5};  // as good as an impulse: velocity alike, acceleration as frequency
  const auto scaled = [&](double low_db, double slow_db) {
    test::KnockSample s = sample;
    s.model.shapes.col(0) *= std::pow(10, low_db / 40) * std::sqrt(400 / 300.0);  // level goes with the square
    s.model.shapes.col(2) *= std::pow(10, slow_db / 40) * std::sqrt(400 / 500.0);
    return deadness(s.model, s.result, pulse).all;
  };
  const WallDeadness in = scaled(-29.8, -29.8), out = scaled(-30.2, -30.2);
  EXPECT_EQ(in.strongest, 1);
  EXPECT_NEAR(in.level[0] - in.level[1], -29.8, 0.01);
  EXPECT_EQ(in.lowest_heard, 0);
  EXPECT_EQ(in.longest, 2);
  EXPECT_EQ(out.lowest_heard, 1);
  EXPECT_EQ(out.longest, 1);
}

// The same box with 1.5 times the loss factor: all levels follow.
TEST(Deadness, MoreLossShortensAndLowers) {
  const test::KnockSample a = plate_box("bare", 0.02), b = plate_box("damped", 0.03);
  const KnockPulse pulse;
  const Deadness bare = deadness(a.model, a.result, pulse), damped = deadness(b.model, b.result, pulse);
  EXPECT_NEAR(bare.all.energy_level - damped.all.energy_level, 10 * std::log10(1.5), 0.5);
  EXPECT_LT(damped.all.left_100ms, bare.all.left_100ms);
  const auto words = change_words(bare, damped);
  ASSERT_EQ(words.size(), 3u);  // walls of which the same is said share a line; the sides decide all walls
  EXPECT_EQ(words[0].rfind("all walls together, left, right: the strongest ring is still at 333 Hz", 0), 0u)
      << words[0];
  EXPECT_EQ(words[1].rfind("baffle, back: ", 0), 0u) << words[1];
  EXPECT_NE(words[0].find("dies 1.50 times as fast"), std::string::npos) << words[0];
  EXPECT_NE(words[0].find("dB lower"), std::string::npos) << words[0];
  const auto same = change_words(bare, bare);
  EXPECT_NE(same[1].find("as strong (within 0.1 dB)"), std::string::npos) << same[1];
  EXPECT_EQ(same[1].find("lower"), std::string::npos) << same[1];
  for (const std::string &line : deadness_words(bare))
    EXPECT_NE(line.find("the strongest ring is at"), std::string::npos);
}

// A half-sine of 3 ms has a gap at 1.5 / 3 ms = 500 Hz.
TEST(Deadness, ModesInGapsOfTheSpectrumAreNamed) {
  test::KnockSample sample = only_modes(plate_box("gap", 0.02), {0, 1});
  sample.model.shapes.setOnes();
  sample.model.shapes.col(1) *= 2;
  sample.model.poles << test::pole_of(300, 0.02), test::pole_of(501, 0.001);
  const Deadness d = deadness(sample.model, sample.result, {20, 0.003});
  EXPECT_EQ(d.all.strongest, 0);
  EXPECT_EQ(d.all.spared, 1);
  EXPECT_NE(deadness_words(d)[0].find("501 Hz falls into a gap"), std::string::npos) << deadness_words(d)[0];
  EXPECT_NE(change_words(d, d)[0].find("part of this may be the knock's"), std::string::npos);
  EXPECT_EQ(deadness(sample.model, sample.result, {20, 0.001}).all.spared, -1);
  // The impulse of a half-sine is 2 peak contact / pi; at 1 / contact the envelope meets the spectrum.
  EXPECT_NEAR(pulse_envelope({20, 0.003}, 1e-3), 2 * 20 * 0.003 / pi, 1e-9);
  EXPECT_NEAR(pulse_envelope({20, 0.003}, 1.000001 / 0.003), pulse_envelope({20, 0.003}, 0.999999 / 0.003), 1e-6);
}

TEST(Deadness, WithoutModesNothingIsClaimed) {
  const test::KnockSample none = only_modes(plate_box("none", 0.02), {});
  const Deadness d = deadness(none.model, none.result, {});
  EXPECT_EQ(d.all.strongest, -1);
  EXPECT_TRUE(d.all.bands.empty());
  EXPECT_NE(deadness_words(d)[0].find("no mode moves"), std::string::npos);
  EXPECT_NE(change_words(d, d)[0].find("no mode moves"), std::string::npos);
}

}  // namespace
}  // namespace stillbox
