// SPDX-License-Identifier: MIT
// The closed forms under the knock report: pulse on a mode, Schroeder integrals, third octaves, spectra, A-weighting.
#include <cmath>

#include "postprocess/knock_spectra.h"
#include "postprocess/loudness.h"
#include "postprocess/ring_energy.h"
#include "postprocess/ring_response.h"
#include "postprocess/scattered.h"
#include "postprocess/third_octave.h"
#include "tests/postprocess/knock_samples.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
using test::pi;
using test::pole_of;

/// The pulse convolved with exp(q t) by Simpson's rule, independent of the closed form.
Complex by_simpson(const KnockPulse &pulse, Complex q, double t) {
  const double end = std::min(t, pulse.contact);
  constexpr int n = 4000;
  Complex sum = 0;
  for (int k = 0; k <= n; ++k) {
    const double s = end * k / n;
    const double weight = k == 0 || k == n ? 1 : k % 2 == 1 ? 4 : 2;
    sum += weight * pulse.peak * std::sin(pi * s / pulse.contact) * std::exp(q * (t - s));
  }
  return sum * end / (3.0 * n);
}

TEST(RingResponse, PulseOnAModeAgreesWithNumericalIntegration) {
  const KnockPulse pulse{20, 0.003};
  // The third pole turns with the pulse itself, where the textbook fraction is 0 / 0.
  for (const Complex q : {pole_of(120, 0.02), pole_of(2500, 0.3), Complex(-1e-9, pi / pulse.contact), Complex(-40, 0)})
    for (const double t : {0.0004, 0.0015, 0.003, 0.0041, 0.02}) {
      const Complex exact = by_simpson(pulse, q, t), closed = pulse_on_pole(pulse, q, t);
      EXPECT_LT(std::abs(closed - exact), 1e-9 * pulse.peak * pulse.contact) << q << " " << t;
    }
  EXPECT_EQ(pulse_on_pole(pulse, pole_of(100, 0.02), -1), Complex(0));
  EXPECT_EQ(pulse_force(pulse, 0.004), 0);
  EXPECT_DOUBLE_EQ(pulse_force(pulse, 0.0015), 20);
}

// Undamped oscillator under a half-sine, residual velocity from the textbook form (independently recomputed):
// 2 (P / m) (W / (W^2 - w^2)) cos(w T / 2), W = pi / T.
TEST(RingResponse, FreeVibrationHasTheTextbookAmplitude) {
  const KnockPulse pulse{7, 0.004};
  KnockModel model;
  model.poles = Eigen::VectorXcd::Constant(1, pole_of(90, 1e-9));
  model.shapes = Eigen::MatrixXcd::Constant(1, 1, 1 / std::sqrt(0.5));  // 0.5 kg
  const RingModes ring = ring_modes(model);
  const Eigen::VectorXcd after = after_contact(ring, pulse);
  const double w = 2 * pi * 90, drive = pi / pulse.contact;
  const double velocity = 2 * 7 / 0.5 * drive / (drive * drive - w * w) * std::cos(w * pulse.contact / 2);
  EXPECT_NEAR(2 * std::abs(after[0] * ring.poles[0]) / 0.5, std::abs(velocity), 1e-6 * std::abs(velocity));
}

RingEnergy energy_of(const std::vector<Complex> &poles, const std::vector<Complex> &amplitudes) {
  const auto m = Eigen::Index(poles.size());
  Eigen::VectorXcd q(2 * m), b(2 * m);
  for (Eigen::Index k = 0; k < m; ++k) {
    q[k] = poles[std::size_t(k)];
    q[m + k] = std::conj(q[k]);
    b[k] = amplitudes[std::size_t(k)];
    b[m + k] = std::conj(b[k]);
  }
  return ring_energy(q, b * b.transpose());
}

TEST(RingEnergy, SchroederIntegralOfOneExponentialInClosedForm) {
  const Complex q(-30, 2 * pi * 500), b(0.3, -0.4);
  const RingEnergy energy = energy_of({q}, {b});
  // v = 2 Re b exp(q t): v^2 = 2 |b|^2 exp(2 Re q t) + 2 Re b^2 exp(2 q t), integrated by hand.
  for (const double t : {0.0, 0.01, 0.1}) {
    const double exact = 2 * 0.25 * std::exp(-60 * t) / 60 - 2 * (b * b * std::exp(2.0 * q * t) / (2.0 * q)).real();
    EXPECT_NEAR(energy_after(energy, t), exact, 1e-12);
  }
  EXPECT_NEAR(energy_after(energy, 0.1) / energy_after(energy, 0), std::exp(-6.0), 0.02 * std::exp(-6.0));
  EXPECT_NEAR(centre_time(energy), 1 / 60.0, 0.02 / 60);
  EXPECT_NEAR(time_until(energy, 1e-6), 3 * std::log(10.0) / 30, 0.01 * 3 * std::log(10.0) / 30);
}

TEST(RingEnergy, SchroederIntegralOfSeveralModesAgreesWithASum) {
  const std::vector<Complex> poles{pole_of(200, 0.03), pole_of(207, 0.02), pole_of(900, 0.1)};
  const std::vector<Complex> amplitudes{{1, 0.2}, {-0.7, 0.5}, {0.1, 1.5}};
  const RingEnergy energy = energy_of(poles, amplitudes);
  const auto square = [&](double t) {
    double v = 0;
    for (std::size_t k = 0; k < poles.size(); ++k) v += 2 * (amplitudes[k] * std::exp(poles[k] * t)).real();
    return v * v;
  };
  for (const double from : {0.0, 0.013, 0.1}) {
    constexpr int n = 400000;
    const double end = 1.5, step = (end - from) / n;
    double sum = 0.5 * (square(from) + square(end));
    for (int k = 1; k < n; ++k) sum += square(from + k * step);
    EXPECT_NEAR(energy_after(energy, from), sum * step, 1e-6 * energy_after(energy, 0)) << from;
  }
}

// T60 = 3 ln 10 / (pi eta f), from exp(-pi eta f t) falling to 1/1000.
TEST(RingEnergy, DecayFitFindsT60OfOneMode) {
  for (const double f : {100.0, 630.0}) {
    const DecayFit fit = fit_decay(energy_of({pole_of(f, 0.02)}, {1.0}));
    const double t60 = 3 * std::log(10.0) / (pi * 0.02 * f);
    EXPECT_NEAR(fit.t20, t60, 0.01 * t60);
    EXPECT_NEAR(fit.t30, t60, 0.01 * t60);
    EXPECT_FALSE(fit.bent);
  }
}

TEST(RingEnergy, DecayFitSaysWhenTheCurveIsBent) {
  // Two modes, the slow one 16 dB weaker in energy: the straight part must not speak for the tail.
  const DecayFit fit = fit_decay(energy_of({pole_of(400, 0.1), pole_of(440, 0.01)}, {1.0, 0.05}));
  EXPECT_TRUE(fit.bent);
  EXPECT_GT(fit.curvature, 0.1);
  EXPECT_GT(fit.t30, fit.t20);
}

TEST(RingEnergy, NothingGivesNoFigures) {
  const RingEnergy none = energy_of({pole_of(400, 0.1)}, {0.0});
  EXPECT_EQ(energy_after(none, 0), 0);
  EXPECT_TRUE(std::isnan(time_until(none, 0.5)));
  EXPECT_TRUE(std::isnan(fit_decay(none).t20));
  EXPECT_TRUE(std::isnan(centre_time(none)));
}

// IEC 61260-1, base ten (from memory): the 1 kHz band runs from 891.25 to 1122.02 Hz, the 315 Hz band has its exact
// middle at 316.23 Hz.
TEST(ThirdOctave, BandsOfTheStandard) {
  EXPECT_NEAR(third_octave_low(0), 891.2509, 1e-3);
  EXPECT_NEAR(third_octave_high(0), 1122.0185, 1e-3);
  EXPECT_NEAR(third_octave_middle(-5), 316.2278, 1e-3);
  EXPECT_EQ(third_octave_of(1000), 0);
  EXPECT_EQ(third_octave_of(891.2), -1);
  EXPECT_EQ(third_octave_of(891.3), 0);
  for (int band = -20; band <= 14; ++band) {
    EXPECT_EQ(third_octave_of(third_octave_low(band)), band);
    EXPECT_EQ(third_octave_of(std::nextafter(third_octave_high(band), 0)), band);
    EXPECT_DOUBLE_EQ(third_octave_high(band), third_octave_low(band + 1));
    EXPECT_NEAR(std::stod(third_octave_name(band)) / third_octave_middle(band), 1, 0.015) << band;
  }
  EXPECT_EQ(third_octave_name(-5), "315");
  EXPECT_EQ(third_octave_name(-15), "31.5");
  EXPECT_EQ(third_octave_name(11), "12500");
}

// IEC 61672-1 (from memory): A at 100 Hz -19.1, 200 Hz -10.9, 500 Hz -3.2, 2 kHz +1.2, 10 kHz -2.5 dB, at the exact
// base-ten frequencies and rounded to 0.1 dB.
TEST(Loudness, WeightingOfTheStandard) {
  for (const auto &[f, level] : std::vector<std::pair<double, double>>{
           {100, -19.1}, {199.53, -10.9}, {501.19, -3.2}, {1000, 0}, {1995.26, 1.2}, {10000, -2.5}})
    EXPECT_NEAR(20 * std::log10(a_weighting(f)), level, 0.06) << f;
}

TEST(Loudness, EnergyOfAToneIsItsSquareTimesTheWeight) {
  std::vector<double> tone;
  for (int n = 0; n < 48000; ++n) tone.push_back(0.5 * std::sin(2 * pi * 250 * n / 48000.0));
  const double exact = 0.125 * std::pow(a_weighting(250), 2);
  EXPECT_NEAR(a_weighted_energy(tone, 48000), exact, 0.005 * exact);
}

TEST(KnockSpectra, MobilityOfOneModeAtItsPeakAndOfTheRigidBody) {
  test::KnockSample sample = test::only_modes(test::plate_box("one", 0.02), {0});
  sample.model.rigid.setZero();
  sample.model.residual.setZero();
  const RingModes ring = ring_modes(sample.model);
  Eigen::Index best = 0;
  sample.model.shapes.cwiseAbs().rowwise().sum().maxCoeff(&best);
  const double f = std::sqrt((-sample.model.poles[0] * sample.model.poles[0]).real()) / (2 * pi);
  const Eigen::VectorXd one = Eigen::VectorXd::Ones(1), at = Eigen::VectorXd::Constant(1, f);
  // H = x^2 / (lambda - w^2) with the modes' own pole pair; at resonance |i w H| = x^2 / (eta w) to first order in eta.
  const double exact = std::norm(sample.model.shapes(best, 0)) / (0.02 * 2 * pi * f);
  EXPECT_NEAR(mean_mobility(sample.model, {int(best)}, one, at)[0], exact, 0.02 * exact);

  sample.model.rigid = Eigen::MatrixXd::Constant(sample.model.shapes.rows(), 1, 1 / std::sqrt(9.5));
  const Eigen::VectorXd low = Eigen::VectorXd::Constant(1, 0.5);
  EXPECT_NEAR(mean_mobility(sample.model, {int(best)}, one, low)[0], 1 / (2 * pi * 0.5 * 9.5), 1e-4);
}

TEST(KnockSpectra, ShortTimeSpectrumAgreesWithASampledOne) {
  const test::KnockSample sample = test::plate_box("sampled", 0.03, 1, 2, 900);
  const KnockPulse pulse;
  const RingModes ring = ring_modes(sample.model);
  const Eigen::VectorXcd after = after_contact(ring, pulse);
  const Eigen::VectorXd weights = Eigen::VectorXd::Constant(24, 1.0 / 24);
  const Eigen::VectorXd times = Eigen::Vector2d(0, 0.02), frequencies = Eigen::Vector3d(250, 410, 777);
  const double window = 0.03;
  const Eigen::MatrixXd closed = decay_spectra(sample.model, weights, pulse, window, times, frequencies);
  for (int j = 0; j < 2; ++j)
    for (int n = 0; n < 3; ++n) {
      double mean = 0;
      for (int r = 0; r < 24; ++r)
        for (int s = 0; s < 24; ++s) {
          if (r / 4 != s / 4) continue;  // other walls do not answer
          Complex sum = 0;
          constexpr int steps = 600;
          for (int i = 0; i < steps; ++i) {
            const double t = window * i / steps;
            Complex a = 0;
            for (Eigen::Index k = 0; k < ring.poles.size(); ++k)
              a += ring.shapes(r, k) * ring.shapes(s, k) * after[k] * ring.poles[k] * ring.poles[k] *
                   std::exp(ring.poles[k] * (times[j] + t));
            sum += a * (0.42 - 0.5 * std::cos(2 * pi * i / steps) + 0.08 * std::cos(4 * pi * i / steps)) *
                   std::exp(Complex(0, -2 * pi * frequencies[n] * t));
          }
          mean += std::norm(sum * window / double(steps)) / (24.0 * 24.0);
        }
      const double sampled = std::sqrt(mean) * 2 / (0.42 * window) / std::sqrt(2.0);
      EXPECT_NEAR(closed(j, n), sampled, 0.002 * sampled) << j << " " << n;
    }
}

TEST(Scattered, SurfaceGoesThroughItsPointsAndKeepsPlanes) {
  std::vector<Eigen::Vector2d> places;
  std::vector<double> values, plane;
  for (int i = 0; i < 5; ++i)
    for (int j = 0; j < 4; ++j) {
      places.emplace_back(0.05 * i, 0.07 * j + 0.004 * i);
      values.push_back(std::sin(1.7 * i) + 0.3 * j * j);
      plane.push_back(3 + 20 * places.back().x() - 7 * places.back().y());
    }
  const auto vector = [](const std::vector<double> &v) {
    return Eigen::VectorXd(Eigen::Map<const Eigen::VectorXd>(v.data(), Eigen::Index(v.size())));
  };
  const ScatteredSurface surface = surface_through(places, vector(values));
  for (std::size_t p = 0; p < places.size(); ++p) EXPECT_NEAR(surface_at(surface, places[p]), values[p], 1e-9);
  EXPECT_NEAR(surface_at(surface_through(places, vector(plane)), {0.11, 0.1}), 3 + 2.2 - 0.7, 1e-9);
  // On one line, or alone, the nearest speaks.
  const ScatteredSurface line = surface_through({{0, 0}, {1, 0}, {2, 0}, {3, 0}}, Eigen::Vector4d(1, 2, 3, 4));
  EXPECT_EQ(surface_at(line, {1.9, 5}), 3);
  EXPECT_EQ(surface_at(surface_through({{0.2, 0.1}}, Eigen::VectorXd::Constant(1, 7.0)), {3, 3}), 7);
}

}  // namespace
}  // namespace stillbox
