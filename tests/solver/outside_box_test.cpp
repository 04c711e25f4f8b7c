// SPDX-License-Identifier: MIT
#include <gtest/gtest.h>

#include <cmath>

#include "solver/discretisation.h"
#include "solver/lapack.h"
#include "solver/outside_sound.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr double pi = 3.14159265358979323846;
const OutsideAir air{1.2, 343};

// An invented two-piston box: a woofer in the baffle, a passive radiator in the left wall, and the top as a whole.
struct Pistons {
  SurfaceMesh mesh;
  Eigen::MatrixXd shapes;
};
Pistons pistons(double up_to, int aimed_at) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, isotropic(3.5e9, 0.25, 750));
  s.boards[baffle].cut_outs = {{"woofer", CutOutShape::round, {0.11, 0.12}, 0.145, 0.145, false}};
  s.boards[left].cut_outs = {{"radiator", CutOutShape::round, {0.13, 0.25}, 0.12, 0.12, false}};
  Pistons p{cabinet_surface(s, air, up_to, 6, aimed_at), {}};
  p.shapes = Eigen::MatrixXd::Zero(p.mesh.elements.size(), 3);
  p.shapes.col(0) = cut_out_shares(p.mesh, s, baffle, 0);
  p.shapes.col(1) = cut_out_shares(p.mesh, s, left, 0);
  for (int i = 0; i < int(p.mesh.elements.size()); ++i) p.shapes(i, 2) = p.mesh.wall[i] == top;
  return p;
}

// Force on one piston by the motion of the other: p at 2 by v at 1 = p at 1 by v at 2, at an irregular frequency (first
// of the inside: 1021 Hz), too. Not the matrix that is made symmetric, but the solution itself.
TEST(OutsideBox, ReciprocityOfPistonsOnDifferentWalls) {
  const Pistons p = pistons(1400, 600);
  const double irregular = air.speed / 2 * std::sqrt(1 / (0.22 * 0.22) + 1 / (0.30 * 0.30) + 1 / (0.38 * 0.38));
  for (double f : {60.0, 400.0, irregular}) {
    const SurfaceSound s = solve_outside(p.mesh, air, f, p.shapes.leftCols(2).cast<Complex>());
    const Eigen::MatrixXcd force = (p.mesh.areas.asDiagonal() * p.shapes.leftCols(2)).transpose() * s.pressure;
    EXPECT_LT(std::abs(force(0, 1) - force(1, 0)), 0.01 * std::abs(force(0, 1))) << f;
    EXPECT_LT(radiation_impedance(p.mesh, s, p.shapes.leftCols(2)).asymmetry, 0.01) << f;
  }
}

// What leaves the surface arrives far off: within 2 % from 9 elements a wavelength on.
TEST(OutsideBox, EnergyBalance) {
  const Pistons p = pistons(1400, 600);
  for (double f : {50.0, 700.0, 1021.0, 1200.0}) {
    ASSERT_GE(elements_per_wave(p.mesh, air, f), 9);
    const SurfaceSound s = solve_outside(p.mesh, air, f, p.shapes.cast<Complex>());
    const Eigen::VectorXd near = surface_power(p.mesh, s), far = far_power(p.mesh, s);
    for (int c = 0; c < 3; ++c) EXPECT_NEAR(near[c] / far[c], 1, 0.02) << f << " Hz, case " << c;
  }
}

TEST(OutsideBox, FarFieldIsThePressureFarOff) {
  const Pistons p = pistons(800, 300);
  const SurfaceSound s = solve_outside(p.mesh, air, 800, p.shapes.cast<Complex>());
  const Directions d = all_directions(4);
  EXPECT_NEAR(d.weight.sum(), 4 * pi, 1e-12);
  const Eigen::Vector3d about(0.11, 0.15, 0.19);
  const double r = 200;
  const Eigen::MatrixXcd far = far_pressure(p.mesh, s, d.unit, about) * std::polar(1 / r, -s.k * r);
  const Eigen::MatrixXcd there = pressure_at(p.mesh, s, (r * d.unit).rowwise() + about.transpose());
  EXPECT_LT((far - there).cwiseAbs().maxCoeff(), 0.01 * far.cwiseAbs().maxCoeff());
}

// Low frequencies: only the net volume velocity counts.
TEST(OutsideBox, NetVolumeIsAMonopole) {
  const Pistons p = pistons(800, 400);
  Eigen::MatrixXd shapes(p.mesh.elements.size(), 2);
  shapes << p.shapes.col(0), Eigen::VectorXd::Ones(p.mesh.elements.size());
  const Eigen::VectorXd flow = shapes.transpose() * p.mesh.areas;
  EXPECT_NEAR(flow[0], pi * 0.145 * 0.145 / 4, 1e-9);
  const double f = 10;  // k times the half diagonal 0.05
  const SurfaceSound s = solve_outside(p.mesh, air, f, shapes.cast<Complex>());
  const Eigen::VectorXd power = far_power(p.mesh, s);
  for (int c = 0; c < 2; ++c) EXPECT_NEAR(power[c] / monopole_power(air, f, flow[c]), 1, 0.01);
  // All walls outwards: pressure around the box, too.
  Eigen::Matrix<double, Eigen::Dynamic, 3> points(3, 3);
  points << 0.11, -9, 0.19, 10, 0.15, 0.19, 3, 4, 8;
  const Eigen::MatrixXcd pressure = pressure_at(p.mesh, s, points);
  for (int i = 0; i < 3; ++i) {
    const double r = (points.row(i).transpose() - Eigen::Vector3d(0.11, 0.15, 0.19)).norm();
    const Complex wanted = monopole_pressure(air, f, flow[1], r);
    EXPECT_LT(std::abs(pressure(i, 1) / wanted - 1.0), 0.01);
  }
}

// Coarse against fine, a piston whose rim runs through the elements: power and on-axis pressure within 0.5 dB at 7 and
// within 0.3 dB at 10 elements a wavelength.
TEST(OutsideBox, Converges) {
  double power[3], pressure[3];
  int i = 0;
  Eigen::Matrix<double, Eigen::Dynamic, 3> axis(1, 3);
  axis << 0.11, -2, 0.12;
  for (int count : {250, 500, 1000}) {
    const Pistons p = pistons(600, count);
    const SurfaceSound s = solve_outside(p.mesh, air, 1000, p.shapes.leftCols(1).cast<Complex>());
    power[i] = 10 * std::log10(far_power(p.mesh, s)[0]);
    pressure[i++] = 20 * std::log10(std::abs(pressure_at(p.mesh, s, axis)(0, 0)));
  }
  EXPECT_LT(std::abs(power[0] - power[2]), 0.5);
  EXPECT_LT(std::abs(power[1] - power[2]), 0.3);
  EXPECT_LT(std::abs(pressure[0] - pressure[2]), 0.5);
  EXPECT_LT(std::abs(pressure[1] - pressure[2]), 0.3);
}

TEST(OutsideBox, ResistanceIsNeverNegativeAndAddsUp) {
  const Pistons p = pistons(800, 300);
  const SurfaceSound s = solve_outside(p.mesh, air, 500, p.shapes.cast<Complex>());
  const RadiationImpedance z = radiation_impedance(p.mesh, s, p.shapes);
  const Eigen::MatrixXd r = z.z.real(), x = z.z.imag();
  EXPECT_EQ((r - r.transpose()).norm(), 0);
  EXPECT_GE(symmetric_eigenvalues(r).minCoeff(), -1e-9 * r.norm());
  EXPECT_GT(symmetric_eigenvalues(x).minCoeff(), 0);  // air swings along
  // Any mixture of shapes radiates 1/2 a^H R a.
  const Eigen::Vector3cd a(Complex(1, 0.5), Complex(-0.3, 1), Complex(0.2, -0.7));
  const SurfaceSound mixed = solve_outside(p.mesh, air, 500, p.shapes.cast<Complex>() * a);
  const double wanted = 0.5 * (a.adjoint() * r * a)(0, 0).real();
  EXPECT_NEAR(far_power(p.mesh, mixed)[0], wanted, 2e-3 * wanted);
}

TEST(OutsideBox, OpenSurfaceIsRefused) {
  SurfaceMesh m = box_surface({0.2, 0.3, 0.4}, 0.1);
  const int n = int(m.elements.size());
  m.elements.pop_back();
  set_geometry(m);
  EXPECT_THROW(solve_outside(m, air, 100, Eigen::MatrixXcd::Ones(n - 1, 1)), SolveError);
}

}  // namespace
}  // namespace stillbox
