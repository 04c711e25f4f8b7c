// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <cmath>

#include "solver/outside_sound.h"

// A sphere whose surface moves radially, against the series of spherical waves, at most 1500 elements, within 0.3 dB.
// Source: Morse and Ingard, Theoretical Acoustics, section 7.2 (from memory; with exp(+i w t)):
//   v = sum U_n P_n(cos th),  p(r) = -i rho c sum U_n P_n(cos th) h_n(k r) / h_n'(k a),  h_n = j_n - i y_n,
// for a cap of the half angle th0: U_n = U0 / 2 [P_{n-1}(cos th0) - P_{n+1}(cos th0)], U_0 = U0 / 2 (1 - cos th0).
// ka = pi and 4.493409 are the first eigenvalues of the inside with p = 0: "irregular" frequencies.

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr double pi = 3.14159265358979323846, a = 0.15;
constexpr double bar_db = 0.3;
const OutsideAir air{1.2, 340};
constexpr int orders = 60;

Complex hankel(int n, double x) { return {std::sph_bessel(n, x), -std::sph_neumann(n, x)}; }
Complex hankel_slope(int n, double x) {
  return n == 0 ? -hankel(1, x) : hankel(n - 1, x) - (n + 1.0) / x * hankel(n, x);
}
double db(Complex is, Complex wanted) { return 20 * std::log10(std::abs(is) / std::abs(wanted)); }

// Amplitudes of a case: one order alone, or a cap.
std::vector<double> order_alone(int n) {
  std::vector<double> u(orders + 1);
  u[n] = 1;
  return u;
}
std::vector<double> cap(double half_angle) {
  const double z = std::cos(half_angle);
  std::vector<double> u(orders + 1);
  u[0] = (1 - z) / 2;
  for (int n = 1; n <= orders; ++n) u[n] = (std::legendre(n - 1, z) - std::legendre(n + 1, z)) / 2;
  return u;
}

// h_n / h_n' at ka, by order.
std::vector<Complex> ratios(double ka) {
  std::vector<Complex> ratio;
  for (int n = 0; n <= orders; ++n) ratio.push_back(hankel(n, ka) / hankel_slope(n, ka));
  return ratio;
}
Complex surface_series(const std::vector<double> &u, const std::vector<Complex> &ratio, double z) {
  Complex p = 0;
  for (int n = 0; n <= orders; ++n)
    if (u[n] != 0) p += u[n] * std::legendre(n, z) * ratio[n];
  return Complex(0, -air.density * air.speed) * p;
}
// h_n(x) -> i^(n+1) exp(-i x) / x.
Complex far_series(const std::vector<double> &u, double ka, double z) {
  Complex p = 0, turn(0, 1);
  for (int n = 0; n <= orders; ++n, turn *= Complex(0, 1))
    if (u[n] != 0) p += u[n] * std::legendre(n, z) * turn / hankel_slope(n, ka);
  return Complex(0, -air.density * air.speed) * p * a / ka;
}
// Power: integral of |F|^2 / (2 rho c), by orthogonality of the P_n.
double power_series(const std::vector<double> &u, double ka) {
  double sum = 0;
  for (int n = 0; n <= orders; ++n) sum += u[n] * u[n] / std::norm(hankel_slope(n, ka)) * 4 * pi / (2 * n + 1);
  return sum * air.density * air.speed * a * a / (ka * ka) / 2;
}

const std::vector<double> cap_degrees = {20, 45, 60, 90, 120, 180};

// Columns: orders 0, 1, 2, then the caps, each the mean over the element.
Eigen::MatrixXd velocities(const SurfaceMesh &m) {
  Eigen::MatrixXd v = Eigen::MatrixXd::Zero(m.elements.size(), 3 + cap_degrees.size());
  constexpr int fine = 10;
  for (int e = 0; e < int(m.elements.size()); ++e)
    for (int i = 0; i < fine; ++i)
      for (int j = 0; j < fine; ++j) {
        const double z = surface_point(m, e, (i + 0.5) / fine, (j + 0.5) / fine).at.normalized().z();
        for (int n = 0; n < 3; ++n) v(e, n) += std::legendre(n, z) / (fine * fine);
        for (std::size_t c = 0; c < cap_degrees.size(); ++c)
          if (z >= std::cos(cap_degrees[c] * pi / 180)) v(e, 3 + c) += 1.0 / (fine * fine);
      }
  return v;
}

class Sphere : public testing::TestWithParam<double> {};

TEST_P(Sphere, OrdersAndCapsWithin0_3dB) {
  const double ka = GetParam(), frequency = ka / a * air.speed / (2 * pi);
  const SurfaceMesh m = sphere_surface(a, 10);
  const std::vector<Complex> ratio = ratios(ka);
  ASSERT_LE(int(m.elements.size()), 1500);
  const Eigen::MatrixXd v = velocities(m);
  const SurfaceSound s = solve_outside(m, air, frequency, v.cast<Complex>());
  Eigen::Matrix<double, Eigen::Dynamic, 3> directions(3, 3);
  directions << 0, 0, 1, 0.6, 0, 0.8, 0, -0.8, -0.6;
  const Eigen::MatrixXcd far = far_pressure(m, s, directions, Eigen::Vector3d::Zero());
  const Eigen::VectorXd power = far_power(m, s);
  for (int c = 0; c < int(v.cols()); ++c) {
    SCOPED_TRACE(c < 3 ? "order " + std::to_string(c) : "cap " + std::to_string(cap_degrees[c - 3]));
    const std::vector<double> u = c < 3 ? order_alone(c) : cap(cap_degrees[c - 3] * pi / 180);
    // On the surface: mean of |p|^2, and of the part in phase with the series; at the pole by the nearest elements.
    double is = 0, wanted = 0;
    Complex common = 0;
    for (int e = 0; e < int(m.elements.size()); ++e) {
      const Complex exact = surface_series(u, ratio, m.centres.row(e).normalized()[2]);
      is += m.areas[e] * std::norm(s.pressure(e, c));
      wanted += m.areas[e] * std::norm(exact);
      common += m.areas[e] * std::conj(exact) * s.pressure(e, c);
    }
    EXPECT_NEAR(10 * std::log10(is / wanted), 0, bar_db) << "surface level";
    EXPECT_NEAR(db(common, wanted), 0, bar_db) << "surface, in phase";
    EXPECT_NEAR(std::arg(common), 0, 0.03) << "surface phase";
    // Far field on axis and off it; not where the series itself all but vanishes.
    double largest = 0;
    for (int d = 0; d < 3; ++d) largest = std::max(largest, std::abs(far_series(u, ka, directions(d, 2))));
    for (int d = 0; d < 3; ++d) {
      const Complex exact = far_series(u, ka, directions(d, 2));
      EXPECT_LT(std::abs(far(d, c) - exact), (std::pow(10, bar_db / 20) - 1) * largest) << "direction " << d;
    }
    EXPECT_NEAR(10 * std::log10(power[c] / power_series(u, ka)), 0, bar_db) << "power";
  }
}

INSTANTIATE_TEST_SUITE_P(Outside, Sphere, testing::Values(0.1, 0.5, 1.0, 2.0, pi, 4.0, 4.493409));

// C4: z / rho c = (ka)^2 / (1 + (ka)^2) + i ka / (1 + (ka)^2).
TEST(OutsideSphere, ImpedanceOfThePulsatingSphere) {
  const SurfaceMesh m = sphere_surface(a, 6);
  const Eigen::MatrixXd v = Eigen::MatrixXd::Ones(m.elements.size(), 1);
  for (double ka : {0.1, 0.5, 1.0, 2.0}) {
    const SurfaceSound s = solve_outside(m, air, ka / a * air.speed / (2 * pi), v.cast<Complex>());
    const RadiationImpedance z = radiation_impedance(m, s, v);
    const double unit = air.density * air.speed * 4 * pi * a * a;
    EXPECT_NEAR(z.z(0, 0).real() / unit, ka * ka / (1 + ka * ka), 0.035 * ka * ka / (1 + ka * ka));
    EXPECT_NEAR(z.z(0, 0).imag() / unit, ka / (1 + ka * ka), 0.035 * ka / (1 + ka * ka));
  }
}

// What the boundary formula gives inside is nothing, at an irregular frequency too, where the integral equation on its
// own leaves a standing wave there that is greatest in the middle.
TEST(OutsideSphere, SilenceInside) {
  const SurfaceMesh m = sphere_surface(a, 8);
  Eigen::Matrix<double, Eigen::Dynamic, 3> points(3, 3);
  points << 0, 0, 0, 0.05, 0, 0, 0, 0.03, -0.06;
  double worst[2];
  int i = 0;
  for (double ka : {2.0, pi}) {
    const SurfaceSound s =
        solve_outside(m, air, ka / a * air.speed / (2 * pi), Eigen::MatrixXcd::Ones(m.elements.size(), 1));
    worst[i++] = pressure_at(m, s, points).cwiseAbs().maxCoeff() / s.pressure.cwiseAbs().mean();
  }
  EXPECT_LT(worst[0], 0.01);
  EXPECT_LT(worst[1], 0.01);
}

}  // namespace
}  // namespace stillbox
