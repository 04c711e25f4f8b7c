// SPDX-License-Identifier: MIT
// The response to a half-sine pulse in closed form, against the equation of motion integrated step by step, against
// numerical quadrature, and time against frequency.
#include "solver/knock_response.h"

#include <gtest/gtest.h>

#include <cmath>
#include <cstdlib>
#include <vector>

namespace stillbox {
namespace {

using Complex = std::complex<double>;

Complex pole(double frequency, double loss) { return Complex(0, 2 * M_PI * frequency) * std::sqrt(Complex(1, loss)); }

/// A model of given poles with shapes x (points x modes), nothing rigid and no residual.
KnockModel model_of(const std::vector<Complex> &poles, const Eigen::MatrixXcd &shapes) {
  KnockModel m;
  m.points.resize(shapes.rows());
  m.poles = Eigen::Map<const Eigen::VectorXcd>(poles.data(), Eigen::Index(poles.size()));
  m.shapes = shapes;
  m.rigid.resize(shapes.rows(), 0);
  m.residual = Eigen::MatrixXd::Zero(shapes.rows(), shapes.rows());
  m.walls = {"first", "second"};
  m.volume = 0.01 * shapes.topRows(1).replicate(2, 1);
  m.volume.row(1) *= -0.5;
  m.rigid_volume.resize(2, 0);
  m.residual_volume = Eigen::MatrixXd::Zero(2, shapes.rows());
  m.up_to = 2000;
  return m;
}

KnockModel three_modes() {
  Eigen::MatrixXcd shapes(2, 3);
  shapes << Complex(1.1, 0.02), Complex(0.7, 0), Complex(-0.4, 0.01), Complex(-0.5, 0), Complex(0.9, 0.03), 0.6;
  return model_of({pole(180, 0.03), pole(431, 0.02), pole(977, 0.05)}, shapes);
}

// q'' + 2 s q' + |p|^2 q = F / m, p = -s + i w: a viscous oscillator has the residue 1 / (2 i w m), which in the
// formula of KnockModel is a shape x with x^2 = p / (i w m). The equation is integrated by the classical Runge-Kutta
// method of fourth order with 64 steps per instant: an independent method.
TEST(KnockResponse, OneOscillatorAgainstItsEquationOfMotion) {
  const double mass = 0.8;
  const KnockPulse pulse{20, 0.0031};  // ends between two instants
  for (const auto &[frequency, loss] : std::vector<std::pair<double, double>>{
           {412, 0.03}, {35, 0.02}, {2900, 0.01}, {1 / (2 * pulse.contact), 0}, {800, 0.4}}) {
    SCOPED_TRACE(frequency);
    const Complex p = pole(frequency, loss);
    Eigen::MatrixXcd shapes(1, 1);
    shapes(0, 0) = std::sqrt(p / Complex(0, p.imag() * mass));
    const KnockModel m = model_of({p}, shapes);
    const TimeGrid grid{48000, 1200};
    const Eigen::VectorXd x = knock_response(m, pulse, Motion::displacement, 0, grid),
                          v = knock_response(m, pulse, Motion::velocity, 0, grid),
                          a = knock_response(m, pulse, Motion::acceleration, 0, grid);
    constexpr int inner = 64;
    // Contact must end on a step, or the corner of the force would spoil the order: it does, 148.8 instants are 9523.2
    // steps of 1/64; so the step is chosen as a fifth of that.
    constexpr int parts = inner * 5;
    const double h = 1 / (48000.0 * parts);
    const auto acceleration = [&](double t, double q, double w) {
      const double force = t <= pulse.contact ? -pulse.peak * std::sin(M_PI * t / pulse.contact) : 0;
      return force / mass + 2 * p.real() * w - std::norm(p) * q;
    };
    double q = 0, w = 0, worst[3] = {0, 0, 0}, size[3] = {0, 0, 0};
    for (int k = 0; k < grid.count; ++k) {
      const double t = k / grid.rate, found[3] = {x[k], v[k], a[k]}, expected[3] = {q, w, acceleration(t, q, w)};
      for (int i = 0; i < 3; ++i) {
        worst[i] = std::max(worst[i], std::abs(found[i] - expected[i]));
        size[i] = std::max(size[i], std::abs(expected[i]));
      }
      for (int j = 0; j < parts; ++j) {
        const double s = t + j * h;
        const double k1 = acceleration(s, q, w), k2 = acceleration(s + h / 2, q + h / 2 * w, w + h / 2 * k1),
                     k3 = acceleration(s + h / 2, q + h / 2 * w + h * h / 4 * k1, w + h / 2 * k2),
                     k4 = acceleration(s + h, q + h * w + h * h / 2 * k2, w + h * k3);
        q += h * w + h * h / 6 * (k1 + k2 + k3);
        w += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
      }
    }
    for (int i = 0; i < 3; ++i) EXPECT_LT(worst[i], 1e-6 * size[i]) << "derivative " << i;
  }
}

TEST(KnockResponse, PulseSpectrumAgainstQuadrature) {
  const KnockPulse pulse{20, 0.003};
  for (double frequency : {0.0, 10.0, 1 / (2 * pulse.contact), 500.0, 1333.0, 5000.0}) {
    Complex sum = 0;  // Simpson's rule
    constexpr int n = 4000;
    for (int j = 0; j <= n; ++j) {
      const double t = pulse.contact * j / n, weight = j == 0 || j == n ? 1 : j % 2 ? 4 : 2;
      sum += weight * pulse.peak * std::sin(M_PI * t / pulse.contact) * std::exp(Complex(0, -2 * M_PI * frequency * t));
    }
    sum *= pulse.contact / n / 3;
    EXPECT_LT(std::abs(pulse_spectrum(pulse, frequency) - sum), 1e-9 * pulse.peak * pulse.contact) << frequency;
  }
  EXPECT_NEAR(std::abs(pulse_spectrum(pulse, 0)), 2 * pulse.peak * pulse.contact / M_PI, 1e-15);  // the momentum
  EXPECT_LT(std::abs(pulse_spectrum(pulse, 1.5 / pulse.contact)), 1e-15);                         // its first zero
}

// Parseval: the integral of v(t)^2 over time is twice the integral of |V(f)|^2 over positive frequencies, with
// V = mobility times the pulse's spectrum.
TEST(KnockResponse, TimeAndFrequencyHoldTheSameEnergy) {
  const KnockModel m = three_modes();
  const KnockPulse pulse{15, 0.0021};
  for (int response : {0, 1}) {
    const TimeGrid grid{192000, 192000};
    const Eigen::VectorXd v = knock_response(m, pulse, Motion::velocity, 0, grid).col(response);
    const double in_time = v.squaredNorm() / grid.rate;
    const double step = 0.25;
    const Eigen::VectorXd f = Eigen::VectorXd::LinSpaced(40000, step / 2, 40000 * step - step / 2);
    const Eigen::MatrixXcd Y = transfer_spectra(m, Motion::velocity, 0, f);
    double in_frequency = 0;
    for (int i = 0; i < f.size(); ++i)
      in_frequency += 2 * step * std::norm(Y(response, i) * pulse_spectrum(pulse, f[i]));
    EXPECT_NEAR(in_time / in_frequency, 1, 1e-6);
  }
}

// The spectra are derivatives of one another, and reciprocal; drive_point_spectra is the diagonal.
TEST(KnockResponse, SpectraFitTogether) {
  KnockModel m = three_modes();
  m.rigid.resize(2, 1);
  m.rigid << 0.3, -0.2;
  m.rigid_volume.setConstant(2, 1, 0.01);
  m.residual << 2e-7, 3e-8, 3e-8, 4e-7;
  Eigen::VectorXd f(4);
  f << 7, 180, 533, 1900;
  const Eigen::MatrixXcd own = drive_point_spectra(m, Motion::velocity, f);
  for (int s : {0, 1}) {
    const Eigen::MatrixXcd x = transfer_spectra(m, Motion::displacement, s, f),
                           v = transfer_spectra(m, Motion::velocity, s, f),
                           a = transfer_spectra(m, Motion::acceleration, s, f),
                           volume = volume_spectra(m, Motion::acceleration, s, f);
    EXPECT_EQ(volume.rows(), 2);
    for (int i = 0; i < 4; ++i) {
      const Complex iw(0, 2 * M_PI * f[i]);
      for (int r : {0, 1}) {
        EXPECT_LT(std::abs(v(r, i) / (iw * x(r, i)) - 1.0), 1e-12);
        EXPECT_LT(std::abs(a(r, i) / (iw * v(r, i)) - 1.0), 1e-12);
      }
      EXPECT_LT(std::abs(v(1 - s, i) - transfer_spectra(m, Motion::velocity, 1 - s, f)(s, i)), 1e-15);
      EXPECT_LT(std::abs(own(s, i) / v(s, i) - 1.0), 1e-12);
    }
  }
  // By hand, one term of each kind, at 533 Hz from point 0 to point 1.
  const Complex iw(0, 2 * M_PI * 533);
  Complex expected = m.rigid(0, 0) * m.rigid(1, 0) / (iw * iw) + m.residual(1, 0);
  for (int k = 0; k < 3; ++k) {
    const Complex A = m.shapes(0, k) * m.shapes(1, k) / (2.0 * m.poles[k]);
    expected += A / (iw - m.poles[k]) + std::conj(A) / (iw - std::conj(m.poles[k]));
  }
  EXPECT_LT(std::abs(transfer_spectra(m, Motion::displacement, 0, f)(1, 2) / expected - 1.0), 1e-12);
}

// A free mass M: acceleration -F / M in contact, then the drift of the momentum 2 F tau / pi.
TEST(KnockResponse, AFreeMassDrifts) {
  const double mass = 2.5;
  KnockModel m = model_of({}, Eigen::MatrixXcd(1, 0));
  m.rigid = Eigen::MatrixXd::Constant(1, 1, 1 / std::sqrt(mass));
  m.rigid_volume.setConstant(2, 1, 0.02);
  const KnockPulse pulse{20, 0.003};
  const TimeGrid grid{48000, 480};
  const double drift = -2 * pulse.peak * pulse.contact / M_PI / mass;
  const Eigen::VectorXd x = knock_response(m, pulse, Motion::displacement, 0, grid),
                        v = knock_response(m, pulse, Motion::velocity, 0, grid),
                        a = knock_response(m, pulse, Motion::acceleration, 0, grid);
  EXPECT_NEAR(a[72], -pulse.peak / mass, 1e-12);  // the middle of contact
  EXPECT_NEAR(v[72], drift / 2, 1e-12);
  EXPECT_NEAR(v[400], drift, 1e-12);
  EXPECT_NEAR(a[400], 0, 1e-12);
  EXPECT_NEAR(x[400] - x[399], drift / 48000, 1e-12);
  EXPECT_NEAR(x[144], drift * pulse.contact / 2, 1e-12);  // by symmetry half the drift's path
  EXPECT_EQ(knock_response(m, pulse, Motion::velocity, 0, grid, false).norm(), 0);
  EXPECT_NEAR(knock_volume_response(m, pulse, Motion::acceleration, 0, grid)(72, 1),
              -pulse.peak * 0.02 / std::sqrt(mass), 1e-12);
}

// The residual gives way at once and is gone after contact.
TEST(KnockResponse, TheResidualFollowsTheForce) {
  KnockModel m = model_of({}, Eigen::MatrixXcd(1, 0));
  m.residual(0, 0) = 3e-7;
  m.rigid_volume.resize(2, 0);
  const KnockPulse pulse{20, 0.003};
  const TimeGrid grid{48000, 480};
  const Eigen::VectorXd x = knock_response(m, pulse, Motion::displacement, 0, grid);
  EXPECT_NEAR(x[72], -20 * 3e-7, 1e-18);
  EXPECT_EQ(x[200], 0);
  EXPECT_EQ(knock_response(m, pulse, Motion::acceleration, 0, grid).norm(), 0);
}

// All knocks at once in single precision against one after another in double precision; the ring amplitude against the
// envelope of a lone mode.
TEST(KnockResponse, GridAgainstSingleKnocks) {
  KnockModel m = three_modes();
  m.rigid.resize(2, 1);
  m.rigid << 0.3, -0.2;
  m.rigid_volume.setConstant(2, 1, 0.01);
  const KnockPulse pulse{20, 0.003};
  const TimeGrid grid{48000, 6000};
  Eigen::MatrixXd drive(grid.count, 2), volume(grid.count, 4);
  int seen = 0;
  grid_knock(m, pulse, grid, [&](const GridKnockBlock &block) {
    EXPECT_EQ(block.first, seen);
    seen += int(block.drive.rows());
    drive.middleRows(block.first, block.drive.rows()) = block.drive.cast<double>();
    volume.middleRows(block.first, block.volume.rows()) = block.volume.cast<double>();
  });
  ASSERT_EQ(seen, grid.count);
  for (int s : {0, 1}) {
    const Eigen::VectorXd a = knock_response(m, pulse, Motion::acceleration, s, grid).col(s);
    EXPECT_LT((drive.col(s) - a).cwiseAbs().maxCoeff(), 3e-6 * a.cwiseAbs().maxCoeff());
    const Eigen::MatrixXd v = knock_volume_response(m, pulse, Motion::acceleration, s, grid);
    for (int w : {0, 1})
      EXPECT_LT((volume.col(2 * w + s) - v.col(w)).cwiseAbs().maxCoeff(), 3e-6 * v.cwiseAbs().maxCoeff());
  }
  const KnockModel lone = model_of({pole(500, 0.001)}, Eigen::MatrixXcd::Constant(1, 1, 0.9));
  const double peak = knock_response(lone, pulse, Motion::acceleration, 0, {480000, 480000 / 100})
                          .bottomRows(480000 / 100 - 1441)
                          .cwiseAbs()
                          .maxCoeff();
  EXPECT_NEAR(ring_amplitudes(lone, pulse, 0, 0)[0] / peak, 1, 5e-3);  // within a half-wave it decays by 0.16 %
}

}  // namespace
}  // namespace stillbox
