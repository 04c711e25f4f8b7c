// SPDX-License-Identifier: MIT
// Drivers, ports, air and walls together, at reduced size: against the textbook's closed and vented box, a duct, the
// efficiency of a driver in a baffle; energy and reciprocity of a box with everything in it.
#include "solver/forced_response.h"

#include <gtest/gtest.h>

#include <cmath>

#include "solver/driver_model.h"
#include "solver/lumped_air.h"
#include "tests/solver/drivers.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
const OutsideAir test_air{1.204, 343.2};

ShapeStiffness no_shapes() {
  return {Eigen::VectorXd(0), [](double) { return Complex(1, 0); }, {}};
}

InsideAir spring_of(double volume, const std::vector<WallCutOut> &cut_outs, int shapes = 0) {
  return lumped_air(volume, test_air, Eigen::RowVectorXd::Zero(shapes), cut_outs);
}

const std::vector<WallCutOut> woofer_and_port{{"woofer", 0, 0, 0, 0.0165}, {"port", 1, 1, 0, 0.002}};

ForcedSystem box_of(const ShapeStiffness &stiffness, const InsideAir &air, const std::vector<ForcedPort> &ports,
                    const Eigen::MatrixXd &rims) {
  return make_forced_system(stiffness, air, test_air.density, {woofer()}, {0}, ports, rims, Eigen::VectorXd::Zero(2));
}

Eigen::VectorXd real_vector(std::initializer_list<double> values) {
  Eigen::VectorXd v(values.size());
  int i = 0;
  for (double x : values) v[i++] = x;
  return v;
}

// A plug of air of this length with a constant resistance.
ForcedPort tube(int at, double area, double length, double resistance) {
  const double mass = test_air.density * area * length;
  return {at, area, [mass, resistance](double f) { return Complex(mass, -resistance / (2 * M_PI * f)); }};
}

AirRegion region(const char *name, const Eigen::MatrixXd &gradients, const Eigen::MatrixXd &masses,
                 const std::function<AirFluid(double)> &fluid) {
  AirRegion r;
  r.name = name;
  r.gradients = gradients;
  r.masses = masses;
  r.fluid = fluid;
  return r;
}

AirOpening opening(const char *name, const Eigen::VectorXd &mean_phi, double area) {
  AirOpening o;
  o.name = name;
  o.mean_phi = mean_phi;
  o.area = area;
  return o;
}

TEST(ForcedResponse, RigidClosedBoxIsTheTextbooks) {
  const double volume = 0.012;
  const ForcedSystem box = box_of(no_shapes(), spring_of(volume, woofer_and_port), {}, Eigen::MatrixXd(2, 0));
  for (double f : {20.0, 45.0, 65.6, 120.0, 700.0}) {
    const Complex expected = closed_box_impedance(woofer(), test_air, volume, f);
    EXPECT_LT(std::abs(forced_response(box, f, {}).impedance[0] / expected - 1.0), 1e-10) << f;
  }
}

// Walls that move, but are held still, and walls too stiff and heavy to move, give the same curve.
TEST(ForcedResponse, WallsThatDoNotMoveChangeNothing) {
  const double volume = 0.012;
  ShapeStiffness wood{real_vector({4e6, 9e6}), [](double) { return Complex(1, 0.03); }, {}};
  InsideAir air = spring_of(volume, woofer_and_port, 2);
  air.wall_coupling << 0.2, 0.1;
  Eigen::MatrixXd rims(2, 2);
  rims << 0.8, 0.5, 0.1, -0.3;
  const ForcedSystem box = box_of(wood, air, {}, rims);
  wood.lambda *= 1e9;
  const ForcedSystem stiff = box_of(wood, air, {}, rims);
  for (double f : {30.0, 65.0, 318.0, 500.0}) {
    const Complex expected = closed_box_impedance(woofer(), test_air, volume, f);
    EXPECT_LT(std::abs(forced_response(box, f, {}, false).impedance[0] / expected - 1.0), 1e-10) << f;
    EXPECT_LT(std::abs(forced_response(stiff, f, {}).impedance[0] / expected - 1.0), 1e-5) << f;
  }
  EXPECT_GT(
      std::abs(forced_response(box, 318, {}).impedance[0] / closed_box_impedance(woofer(), test_air, volume, 318) -
               1.0),
      1e-3);
}

// Vented box without losses in the port: least impedance next to the tuning fB = c / (2 pi) sqrt(S / (V L)); the peaks
// on both sides have fL fH = fs fB (Small, "Vented-Box Loudspeaker Systems", J. Audio Eng. Soc. 21, 1973; from memory),
// and the air in the port moves as much out as the cone in, less the box's compression: at low frequencies net nothing.
TEST(ForcedResponse, VentedBox) {
  const double volume = 0.02, area = 0.002, length = 0.15;
  SmallSignal lossless = woofer();
  lossless.coil_inductance = 0;
  lossless.mechanical_q = 200;
  const ForcedSystem box =
      make_forced_system(no_shapes(), spring_of(volume, woofer_and_port), test_air.density, {lossless}, {0},
                         {tube(1, area, length, 0)}, Eigen::MatrixXd(2, 0), Eigen::VectorXd::Zero(2));
  const auto magnitude = [&](double f) { return std::abs(forced_response(box, f, {}).impedance[0]); };
  double low = 0, high = 0, least = 1e9, at = 0, most_low = 0, most_high = 0;
  const double tuning = test_air.speed / (2 * M_PI) * std::sqrt(area / (volume * length));
  for (double f = 10; f < 150; f += 0.01) {
    const double z = magnitude(f);
    if (f < tuning && z > most_low) most_low = z, low = f;
    if (f > tuning && z > most_high) most_high = z, high = f;
    if (f > 0.7 * tuning && f < 1.4 * tuning && z < least) least = z, at = f;
  }
  EXPECT_NEAR(at / tuning, 1, 1e-3);
  EXPECT_NEAR(low * high / (driver_resonance(lossless) * tuning), 1, 1e-3);
  const ForcedAnswer slow = forced_response(box, 1, {});
  EXPECT_LT(std::abs(0.0113 * slow.motions[0] + area * slow.motions[1]) / std::abs(0.0113 * slow.motions[0]), 2e-3);
}

/// Air in a straight duct with rigid walls, closed at one end, its opening the other: cos(n pi z / L).
InsideAir duct_of(double L, double S, int modes) {
  InsideAir air;
  air.volume = S * L;
  air.frequencies.resize(modes);
  Eigen::VectorXd phi(modes), k2(modes);
  for (int n = 0; n < modes; ++n) {
    air.frequencies[n] = test_air.speed * n / (2 * L);
    phi[n] = std::sqrt((n == 0 ? 1 : 2) / air.volume);
    k2[n] = std::pow(n * M_PI / L, 2);
  }
  const AirFluid fluid{test_air.density, test_air.density * test_air.speed * test_air.speed};
  air.regions.push_back(
      region("duct", k2.asDiagonal(), Eigen::MatrixXd::Identity(modes, modes), [fluid](double) { return fluid; }));
  air.wall_coupling.resize(modes, 0);
  air.openings.push_back(opening("end", phi, S));
  return air;
}

// A piston that fills the end of a rigid duct of the length L: force over displacement rho c w S cot(k L) (textbook,
// exact); the sum over modes cos(n pi z / L) converges as 1/n, so the remainder of the modes left out, a mass, is
// added: 2 rho S L / pi^2 sum over n > N of 1 / n^2.
TEST(ForcedResponse, StandingWavesOfADuct) {
  const double L = 0.7, S = 0.01;
  const int modes = 60;
  const InsideAir air = duct_of(L, S, modes);
  const ForcedSystem duct = make_forced_system(no_shapes(), air, test_air.density, {}, {}, {tube(0, S, 0, 0)},
                                               Eigen::MatrixXd(1, 0), Eigen::VectorXd::Zero(1));
  double rest = M_PI * M_PI / 6;
  for (int n = 1; n < modes; ++n) rest -= 1.0 / (n * n);
  for (double f : {40.0, 200.0, 430.0, 900.0}) {
    const double w = 2 * M_PI * f, k = w / test_air.speed;
    const double mass = 2 * test_air.density * S * L / (M_PI * M_PI) * rest;
    const Complex have = dynamic_stiffness(duct, f, {})(0, 0) - w * w * mass;
    const double expected = test_air.density * test_air.speed * w * S / std::tan(k * L);
    EXPECT_NEAR(have.real() / expected, 1, 2e-3) << f;
    EXPECT_NEAR(have.imag(), 0, 1e-9 * std::abs(expected));
  }
}

// Reference efficiency of a driver in a baffle: rho / (2 pi c) Bl^2 S^2 / (Re M^2) of the nominal power U^2 / Re, above
// resonance and as long as k a << 1 (Small 1972; from memory), with the baffled piston's radiation resistance
// rho c S (1 - J1(2 k a) / (k a)) (Kinsler; from memory; values at k a = 0.5 and 1 recomputed).
TEST(ForcedResponse, EfficiencyInABaffle) {
  SmallSignal s = woofer();
  s.coil_inductance = 0;
  s.cone_area = 1e-4;
  const ForcedSystem bare = make_forced_system(no_shapes(), spring_of(1e3, woofer_and_port), test_air.density, {s}, {0},
                                               {}, Eigen::MatrixXd(2, 0), Eigen::VectorXd::Zero(2));
  const auto resistance = [](double ka) { return 1 - std::cyl_bessel_j(1, 2 * ka) / ka; };
  EXPECT_NEAR(resistance(0.5), 0.11990, 1e-5);
  EXPECT_NEAR(resistance(1), 0.42328, 1e-5);
  const double f = 2000, ka = wave_number(test_air, f) * std::sqrt(s.cone_area / M_PI);
  const Eigen::MatrixXcd z =
      Eigen::MatrixXcd::Constant(1, 1, test_air.density * test_air.speed * s.cone_area * resistance(ka));
  const double efficiency = test_air.density / (2 * M_PI * test_air.speed) *
                            std::pow(s.force_factor * s.cone_area / s.moving_mass, 2) / s.coil_resistance;
  const ForcedAnswer answer = forced_response(bare, f, z);
  EXPECT_NEAR(answer.powers.radiated / (s.voltage * s.voltage / s.coil_resistance) / efficiency, 1, 0.02);
}

struct Everything {
  ForcedSystem box;
  Eigen::MatrixXcd radiation;
};

// Invented figures: three shapes, a lossy part, two air modes in two regions of which one is lossy, a port with a loss.
Everything everything() {
  ShapeStiffness wood{real_vector({1e6, 5e6, 0}), [](double) { return Complex(1, 0.02); }, {}};
  Eigen::MatrixXd part(3, 3);
  part << 2e5, 5e4, 0, 5e4, 1e6, 0, 0, 0, 0;
  wood.parts.push_back({"sheet", part, [](double f) { return Complex(0.8 + 1e-3 * f, 0.4); }});
  InsideAir air = spring_of(0.012, woofer_and_port, 3);
  air.frequencies = real_vector({0, 450});
  const double k = wave_number(test_air, 450), phi = 1 / std::sqrt(0.012);
  Eigen::MatrixXd lined(2, 2), slopes(2, 2);
  lined << 0.3, 0.1, 0.1, 0.25;
  slopes << 0, 0, 0, 0.3 * k * k;
  const Eigen::MatrixXd one = Eigen::MatrixXd::Identity(2, 2);
  const double modulus = test_air.density * test_air.speed * test_air.speed;
  const Eigen::MatrixXd all = k * k * Eigen::MatrixXd(real_vector({0, 1}).asDiagonal());
  air.regions = {region("clear", all - slopes, one - lined,
                        [=](double) {
                          return AirFluid{test_air.density, modulus};
                        }),
                 region("lined", slopes, lined, [=](double) {
                   return AirFluid{test_air.density * Complex(1.4, -0.9), modulus * Complex(0.8, 0.1)};
                 })};
  air.wall_coupling.resize(2, 3);
  air.wall_coupling << 0.3, 0.1, 0, -0.2, 0.25, 0.1;
  air.openings = {opening("woofer", real_vector({phi, 0.9 * phi}), 0.0165),
                  opening("port", real_vector({phi, -0.7 * phi}), 0.002)};
  Eigen::MatrixXd rims(2, 3);
  rims << 0.8, 0.5, 0.3, 0.1, -0.3, 0.3;
  Everything e{box_of(wood, air, {tube(1, 0.0018, 0.12, 0.03)}, rims), {}};
  e.box.wall_mass = 1e-3 * part / 1e6 + 1e-3 * Eigen::MatrixXd::Identity(3, 3);
  const int n = e.box.motions();
  Eigen::MatrixXd half(n, 2), swing(n, n);
  for (int i = 0; i < n; ++i) {
    half(i, 0) = 0.05 + 0.1 * i;
    half(i, 1) = 0.2 - 0.07 * i;
    for (int j = 0; j < n; ++j) swing(i, j) = 0.1 / (1 + std::abs(i - j));
  }
  e.radiation.resize(n, n);
  e.radiation.real() = half * half.transpose();
  e.radiation.imag() = swing;
  return e;
}

TEST(ForcedResponse, PowersAddUp) {
  const Everything e = everything();
  for (double f : {25.0, 70.0, 159.0, 357.0, 460.0, 900.0}) {
    const ForcedAnswer::Powers p = forced_response(e.box, f, e.radiation).powers;
    for (double part : {p.coil, p.suspension, p.walls, p.lining, p.ports, p.radiated}) EXPECT_GT(part, 0) << f;
    EXPECT_NEAR((p.coil + p.suspension + p.walls + p.lining + p.ports + p.radiated) / p.electrical, 1, 1e-9) << f;
  }
}

// Force at one motion and displacement at another can be exchanged (Rayleigh's reciprocity): walls, cone, port, air.
TEST(ForcedResponse, Reciprocity) {
  const Everything e = everything();
  for (double f : {40.0, 357.0}) {
    const Eigen::MatrixXcd D = dynamic_stiffness(e.box, f, e.radiation);
    const Eigen::MatrixXcd receptance = D.inverse();
    EXPECT_LT((receptance - receptance.transpose()).cwiseAbs().maxCoeff(), 1e-9 * receptance.cwiseAbs().maxCoeff());
  }
}

// Plugs may be in the coupling of the walls or come with the openings: the same box.
TEST(ForcedResponse, PlugsAreCountedOnce) {
  const ShapeStiffness wood{real_vector({4e6, 9e6}), [](double) { return Complex(1, 0.03); }, {}};
  InsideAir air = spring_of(0.012, woofer_and_port, 2);
  air.wall_coupling << 0.2, 0.1;
  Eigen::MatrixXd rims(2, 2);
  rims << 0.8, 0.5, 0.1, -0.3;
  const ForcedSystem apart = box_of(wood, air, {}, rims);
  for (int i = 0; i < 2; ++i) air.wall_coupling += air.openings[i].area * air.openings[i].mean_phi * rims.row(i);
  const ForcedSystem within = make_forced_system(wood, air, test_air.density, {woofer()}, {0}, {}, rims,
                                                 real_vector({air.openings[0].area, air.openings[1].area}));
  EXPECT_LT((apart.coupling - within.coupling).cwiseAbs().maxCoeff(), 1e-12 * apart.coupling.cwiseAbs().maxCoeff());
}

// The air that a data sheet's moving mass holds is not counted again with standing waves: far below the first one the
// cone on a short duct swings with the sheet's mass against suspension and air spring (rho c^2 S^2 / V), as long as the
// duct's air, rho S L / 3 (textbook: L^2 / 3 from the sum over 2 / (n pi)^2), is less than rho 8/3 a^3.
TEST(ForcedResponse, AirOfTheMovingMassIsCountedOnce) {
  SmallSignal s = woofer();
  s.coil_inductance = 0;
  const double S = s.cone_area, L = 0.08;
  const int modes = 400;
  const InsideAir air = duct_of(L, S, modes);
  const ForcedSystem duct = make_forced_system(no_shapes(), air, test_air.density, {s}, {0}, {}, Eigen::MatrixXd(1, 0),
                                               Eigen::VectorXd::Zero(1));
  EXPECT_NEAR(s.moving_mass - duct.cones[0].moving_mass, test_air.density * S * L / 3,
              0.01 * test_air.density * S * L / 3);
  for (double f : {30.0, 100.0, 200.0})
    EXPECT_LT(
        std::abs(forced_response(duct, f, {}).impedance[0] / closed_box_impedance(s, test_air, air.volume, f) - 1.0),
        2e-3)
        << f;
}

// What the frame feels is the opposite of what the cone does: a free box with its driver keeps its momentum. One rigid
// motion with the total mass m: q = x_box sqrt(m), rim 1/sqrt(m); then (m - m_cone) x_box + M x_cone = 0 when the air
// and the sound do nothing.
TEST(ForcedResponse, MomentumOfAFreeBox) {
  const double mass = 9;
  ShapeStiffness rigid{real_vector({0}), [](double) { return Complex(1, 0.02); }, {}};
  InsideAir nothing = spring_of(1e6, woofer_and_port, 1);
  const ForcedSystem box = box_of(rigid, nothing, {}, Eigen::MatrixXd::Constant(2, 1, 1 / std::sqrt(mass)));
  const auto &cone = box.cones[0];
  for (double f : {30.0, 200.0}) {
    const ForcedAnswer a = forced_response(box, f, {});
    const Complex frame = (mass - cone.rim_mass) * a.motions[0] / std::sqrt(mass),
                  moving = cone.moving_mass * a.motions[1];
    EXPECT_LT(std::abs(frame + moving) / std::abs(moving), 1e-3) << f;
  }
}

}  // namespace
}  // namespace stillbox
