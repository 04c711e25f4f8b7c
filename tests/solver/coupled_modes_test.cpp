// SPDX-License-Identifier: MIT
#include "solver/coupled_modes.h"

#include "solver/inside_coupling.h"
#include "solver/lapack.h"
#include "solver/lining.h"
#include "tests/solver/rooms.h"

namespace stillbox {
namespace {

bool telling() { return std::getenv("STILLBOX_TELL") != nullptr; }

CoupledSystem rigid_system(const Structure &s, const InsideAir &air) {
  return make_coupled_system(s, air, Eigen::VectorXd(0), Eigen::VectorXd(0));
}

// Air in the box [0, a] x [0, b] x [-D, 0], n x m x k bricks.
InsideField box_of_air(double a, double b, double D, int n, int m, int k) {
  InsideMesh mesh;
  const auto node = [&](int i, int j, int l) { return i + (n + 1) * (j + (m + 1) * l); };
  for (int l = 0; l <= k; ++l)
    for (int j = 0; j <= m; ++j)
      for (int i = 0; i <= n; ++i) mesh.mesh.nodes.emplace_back(a * i / n, b * j / m, D * l / k - D);
  for (int l = 0; l < k; ++l)
    for (int j = 0; j < m; ++j)
      for (int i = 0; i < n; ++i) {
        HexCell cell;
        for (int c = 0; c < 8; ++c) cell.nodes[c] = node(i + (c & 1), j + ((c >> 1) & 1), l + (c >> 2));
        mesh.mesh.cells.push_back(cell);
        mesh.region.push_back(-1);
      }
  return make_inside_field(std::move(mesh), 3);
}

// The modes of a board on top of that air.
InsideAir air_below(const Solved &board, InsideField field, double up_to) {
  InsideAir air;
  solve_standing_waves(field, wave_number(air.air, up_to));
  air.volume = field.volume;
  air.standing = field.standing;
  air.chambers = field.chambers;
  air.frequencies = air.air.speed / (2 * M_PI) * field.squares.cwiseSqrt();
  RegionMatrices m = region_matrices(field, -1);
  air.regions.push_back({"air", m.gradients, m.masses, m.volume, [f = plain_fluid(air.air)](double) { return f; }});
  NodeShapes shapes;
  for (int i = 0; i < board.spectrum.elastic.vectors.cols(); ++i)
    shapes.push_back(expand(board.model.unknowns, board.model.discretisation, board.spectrum.elastic.vectors.col(i)));
  const Eigen::MatrixXd W = couple_faces(board.model, shapes, field);
  air.wall_coupling = field.shapes.transpose() * W;
  air.wall_residual = wall_residual(field, W);
  return air;
}

Eigen::VectorXd hertz_of(const Solved &board) { return board.spectrum.elastic.values.cwiseSqrt() / (2 * M_PI); }

TEST(CoupledModes, PistonOnAnAirSpring) {
  // f = sqrt((k + rho c^2 A^2 / V) / m) / 2 pi of a stiff board on feet over a small box of air: textbook (e.g. Kinsler
  // et al., Fundamentals of Acoustics, ch. 10; from memory), two depths.
  Material stiff = isotropic(200e9, 0.3, 800);
  Structure s = free_plate(0.12, 0.10, 0.02, stiff);
  const double each = 2e4;
  for (double x : {0.0, 0.12})
    for (double y : {0.0, 0.10}) s.feet.push_back({"foot", 0, false, {x, y}, {1e7, 1e7, each}});
  const Solved board = solve(s, to(300, 3, 0.5));
  const double mass = 0.12 * 0.10 * 0.02 * 800, A = 0.12 * 0.10;
  for (double depth : {0.04, 0.16}) {
    const InsideAir air = air_below(board, box_of_air(0.12, 0.10, depth, 2, 2, 2), 3000);
    const CoupledSystem system =
        make_coupled_system(s, air, hertz_of(board), Eigen::VectorXd::Zero(board.spectrum.elastic.values.size()));
    const auto modes = coupled_modes(system, 1000);
    // The board's straight up-and-down motion: the one that the even pressure drives most.
    Eigen::Index up = 0;
    air.wall_coupling.row(0).cwiseAbs().maxCoeff(&up);
    const int wet = follow_walls(modes, int(board.spectrum.elastic.values.size()))[std::size_t(up)];
    ASSERT_GE(wet, 0);
    const double spring = air.air.density * air.air.speed * air.air.speed * A * A / (A * depth);
    // A third of the air column moves with the board: the first term beyond the spring of rho c w A cot(k D).
    const double formula = std::sqrt((4 * each + spring) / (mass + air.air.density * A * depth / 3)) / (2 * M_PI);
    if (telling())
      std::printf("    depth %.2f: dry %.3f, wet %.3f, formula %.3f Hz\n", depth, hertz_of(board)[up],
                  modes[std::size_t(wet)].frequency, formula);
    EXPECT_NEAR(hertz_of(board)[up], std::sqrt(4 * each / mass) / (2 * M_PI), 0.05);
    EXPECT_NEAR(modes[std::size_t(wet)].frequency / formula, 1, 2e-4);
  }
}

// Simply supported plate on a closed box: sines over the plate, cosines across the box, the depth in closed form
//   p(top) = -rho w^2 w_ln cot(kappa D) / kappa,  kappa^2 = k^2 - kx^2 - ky^2;  independently derived.
struct PlateOnBox {
  double a, b, D, mass_area;
  std::vector<double> dry;  // rad/s of the plate's modes (m, n), m and n from 1 to `most`
  int most;
  OutsideAir air;

  static double overlap(int m, int l) {  // int_0^1 sin(m pi x) cos(l pi x) dx
    return (m + l) % 2 == 0 ? 0 : 2.0 * m / (M_PI * (m * m - l * l));
  }
  Eigen::MatrixXd matrix(double w) const {
    const int n = most * most, waves = 14;
    Eigen::MatrixXd A = Eigen::MatrixXd::Zero(n, n);
    for (int l = 0; l < waves; ++l)
      for (int j = 0; j < waves; ++j) {
        Eigen::VectorXd shape(n);  // int of the plate's shape times the cosine, per area, mass-normalised
        for (int p = 0; p < most; ++p)
          for (int q = 0; q < most; ++q) shape[p * most + q] = 2 * overlap(p + 1, l) * overlap(q + 1, j);
        const double k2 = std::pow(w / air.speed, 2) - std::pow(l * M_PI / a, 2) - std::pow(j * M_PI / b, 2);
        const double cot = k2 > 0 ? 1 / (std::tan(std::sqrt(k2) * D) * std::sqrt(k2))
                                  : -1 / (std::tanh(std::sqrt(-k2) * D) * std::sqrt(-k2));
        const double norm = (l ? 2 : 1) * (j ? 2 : 1);
        A += air.density * w * w * cot * norm / mass_area * shape * shape.transpose();
      }
    for (int i = 0; i < n; ++i) A(i, i) += dry[std::size_t(i)] * dry[std::size_t(i)];
    return A;
  }
  // The wet frequency of the mode that starts as plate mode `index` (by order of the sorted eigenvalues), Hz.
  double wet(int index, double guess) const {
    double w = guess;
    for (int round = 0; round < 60; ++round) w = std::sqrt(symmetric_eigenvalues(matrix(w))[index]) * 0.5 + w * 0.5;
    return w / (2 * M_PI);
  }
};

TEST(CoupledModes, PlateOnACavityAgainstASeries) {
  const double a = 0.40, b = 0.30, h = 0.003, D = 0.12;
  const Material aluminium = isotropic(70e9, 0.33, 2700);
  const Structure s = held(free_plate(a, b, h, aluminium), all_sides, EdgeKind::simple_hard);
  const Solved plate = solve(s, to(1100, 3, 0.8));
  const double rigidity = 70e9 * h * h * h / 12 / (1 - 0.33 * 0.33), m = 2700 * h;
  PlateOnBox series{a, b, D, m, {}, 6, {}};
  for (int p = 1; p <= series.most; ++p)
    for (int q = 1; q <= series.most; ++q)
      series.dry.push_back(M_PI * M_PI * (p * p / a / a + q * q / b / b) * std::sqrt(rigidity / m));
  std::vector<double> sorted = series.dry;
  std::sort(sorted.begin(), sorted.end());
  const InsideAir air = air_below(plate, box_of_air(a, b, D, 7, 6, 3), 2800);
  const Eigen::VectorXd dry = hertz_of(plate);
  const auto modes = coupled_modes(make_coupled_system(s, air, dry, Eigen::VectorXd::Zero(dry.size())), 560);
  const auto wet = follow_walls(modes, int(dry.size()));
  for (int i = 0; i < 4; ++i) {
    ASSERT_GE(wet[std::size_t(i)], 0);
    const double found = modes[std::size_t(wet[std::size_t(i)])].frequency / dry[i];
    const double expected = series.wet(i, sorted[std::size_t(i)]) / (sorted[std::size_t(i)] / (2 * M_PI));
    if (telling())
      std::printf("    mode %d: dry %.3f (thin plate %.3f), wet %.3f Hz, ratio %.5f, series %.5f\n", i + 1, dry[i],
                  sorted[std::size_t(i)] / 2 / M_PI, modes[std::size_t(wet[std::size_t(i)])].frequency, found,
                  expected);
    EXPECT_NEAR(found, expected, 2e-4) << i + 1;
  }
  EXPECT_GT(modes[std::size_t(wet[0])].frequency / dry[0], 1.05);  // a case in which air matters
}

TEST(CoupledModes, WithoutCouplingNothingMoves) {
  const double a = 0.40, b = 0.30;
  const Structure s = held(free_plate(a, b, 0.003, isotropic(70e9, 0.33, 2700)), all_sides, EdgeKind::simple_hard);
  const Solved plate = solve(s, to(300, 3, 1));
  InsideAir air = air_below(plate, box_of_air(a, b, 0.12, 4, 3, 2), 900);
  air.wall_coupling *= 1e-6;
  air.wall_residual *= 1e-12;
  const Eigen::VectorXd dry = hertz_of(plate), loss = Eigen::VectorXd::Constant(dry.size(), 0.03);
  const auto modes = coupled_modes(make_coupled_system(s, air, dry, loss), 900);
  const auto wet = follow_walls(modes, int(dry.size()));
  for (int i = 0; i < dry.size(); ++i) {
    const CoupledMode &mode = modes.at(std::size_t(wet.at(std::size_t(i))));
    EXPECT_NEAR(mode.frequency / dry[i], 1, 1e-7);
    EXPECT_NEAR(mode.loss_factor, 0.03, 1e-7);
  }
  const auto waves = follow_standing(modes, air);
  for (int i = 1; i < air.standing; ++i)
    EXPECT_NEAR(modes.at(std::size_t(waves.at(std::size_t(i)))).frequency / air.frequencies[i], 1, 1e-7);
}

TEST(CoupledModes, HelmholtzResonatorOnABox) {
  // C3: 30 l, tube of 40 mm radius. Exact within the piston in the mouth: the series of rooms.h for the near field
  // inside. The hand formula takes the mouth for one in a wall without end and is lower.
  for (double length : {0.018, 0.1}) {
    Structure s = room(0.30, 0.25, 0.40);
    add_port(s, 0.15, 0.20, 0.04, length);
    const InsideAir air = solve_inside_air(s, air_to(400));
    const CoupledSystem system = rigid_system(s, air);
    const auto modes = coupled_modes(system, 400);
    const int tuned = follow_ports(modes, 1)[0];
    ASSERT_EQ(tuned, 0);
    const PortTube &tube = system.tubes[0];
    const double hand = helmholtz_frequency(tube, air.volume), found = modes[0].frequency;
    if (telling())
      std::printf("    length %.3f: %.3f Hz (no losses %.3f), hand formula %.3f, Q %.1f\n", length, found,
                  modes[0].undamped_frequency, hand, 1 / modes[0].loss_factor);
    EXPECT_NEAR(found / hand, 1, 0.035);
    if (length > 0.05) continue;
    const double S = tube.area, inside = S * disc_in_box(0.30, 0.40, 0.25, 0.15, 0.20, 0.04);
    const double layer = std::sqrt(2 * tube.viscosity / (air.air.density * 2 * M_PI * 100)) / tube.radius;
    const double L = length * (1 + layer) + tube.end_outside + inside;
    // The even pressure alone is the spring; (k size)^2 makes the rest, 0.1 % here.
    const double exact = air.air.speed / (2 * M_PI) * std::sqrt(S / (air.volume * L));
    EXPECT_NEAR(modes[0].undamped_frequency / exact, 1, 0.004);
  }
}

TEST(CoupledModes, LinedTubeAgainstItsImpedance) {
  // A closed tube with a porous slab at one end: k1 / rho1 tan(k1 L1) + k2 / rho2 tan(k2 L2) = 0, the slab's surface
  // impedance -i Z cot(k d) against that of the air column: one-dimensional, exact for these fluids.
  using Complex = std::complex<double>;
  for (double resistivity : {2000.0, 20000.0}) {
    const double L = 0.8, d = 0.08;
    Structure s = room(0.06, 0.06, L);
    Lining lining;
    lining.name = "slab";
    lining.walls = {int(bottom)};
    lining.thickness = d;
    lining.flow_resistivity = resistivity;
    s.linings.push_back(lining);
    const InsideAir air = solve_inside_air(s, air_to(900));
    const auto modes = coupled_modes(rigid_system(s, air), 900);
    const auto waves = follow_standing(modes, air);
    for (int i = 1; i < 5; ++i) {
      const CoupledMode &mode = modes.at(std::size_t(waves.at(std::size_t(i))));
      // Newton's method, started from what was found: a root near it is the mode.
      Complex w = 2 * M_PI * mode.frequency * std::sqrt(Complex(1, mode.loss_factor));
      for (int round = 0; round < 40; ++round) {
        const auto f = [&](Complex at) {
          const AirFluid porous = porous_fluid(air.air, resistivity, at.real() / (2 * M_PI));
          const Complex k1 = at / air.air.speed, k2 = at * std::sqrt(porous.density / porous.bulk_modulus);
          return k1 / air.air.density * std::tan(k1 * (L - d)) + k2 / porous.density * std::tan(k2 * d);
        };
        const Complex step = 1e-5 * w;
        w -= f(w) * step / (f(w + step) - f(w));
      }
      const double exact_loss = (w * w).imag() / (w * w).real();
      const double exact_hz = std::sqrt((w * w).real()) / (2 * M_PI);
      if (telling())
        std::printf("    %g Pa s/m2, wave %d: %.3f Hz loss %.5f; exact %.3f, %.5f; rigid %.2f\n", resistivity, i,
                    mode.frequency, mode.loss_factor, exact_hz, exact_loss, air.frequencies[i]);
      EXPECT_NEAR(mode.frequency / exact_hz, 1, 2e-4);
      EXPECT_NEAR(mode.loss_factor / exact_loss, 1, 0.002);
    }
  }
}

TEST(InsideAir, ShapesAreOrthonormalOverAllRegions) {
  // What users of inside_air.h rely on: masses add up to the identity, gradients to the squares of the wave numbers.
  Structure s = room(0.2, 0.15, 0.3);
  add_port(s, 0.08, 0.2, 0.02, 0.06);
  Lining lining;
  lining.name = "felt";
  lining.walls = {int(left), int(top)};
  lining.thickness = 0.02;
  lining.flow_resistivity = 8000;
  s.linings.push_back(lining);
  Lining behind = lining;  // on the port's wall: all but the square of the port's area
  behind.walls = {int(back)};
  s.linings.push_back(behind);
  const InsideAir air = solve_inside_air(s, air_to(800));
  const auto n = air.frequencies.size();
  EXPECT_GT(n, air.standing);
  Eigen::MatrixXd masses = Eigen::MatrixXd::Zero(n, n), gradients = masses;
  double volume = 0;
  for (const AirRegion &region : air.regions) {
    masses += region.masses;
    gradients += region.gradients;
    volume += region.volume;
  }
  const Eigen::VectorXd squares = (2 * M_PI / air.air.speed * air.frequencies).cwiseAbs2();
  EXPECT_LT((masses - Eigen::MatrixXd::Identity(n, n)).cwiseAbs().maxCoeff(), 1e-7);
  EXPECT_LT((gradients - Eigen::MatrixXd(squares.asDiagonal())).cwiseAbs().maxCoeff(), 1e-6 * squares.maxCoeff());
  EXPECT_NEAR(volume, air.volume, 1e-12);
  // 20 mm on two walls that share an edge; behind them what is left of the third wall.
  EXPECT_NEAR(air.regions[2].volume, 0.02 * (0.18 * 0.28 - M_PI * 0.02 * 0.02), 1e-9);
  EXPECT_NEAR(air.regions[1].volume, 0.02 * 0.15 * 0.3 + 0.02 * 0.15 * 0.18, 1e-9);
}

TEST(CoupledModes, FilledBox) {
  // All filled: w^2 rho(f) / K(f) = k^2 of each rigid-wall mode, closed form; with much of it nothing swings any more.
  using Complex = std::complex<double>;
  Structure s = room(0.2, 0.15, 0.3);
  for (double resistivity : {500.0, 5000.0, 1e6}) {
    s.linings.clear();
    Lining filling;
    filling.name = "wool";
    filling.low = s.cabinet->inner_low;
    filling.high = s.cabinet->inner_high;
    filling.flow_resistivity = resistivity;
    s.linings.push_back(filling);
    const InsideAir air = solve_inside_air(s, air_to(900));
    EXPECT_NEAR(air.regions[1].volume, air.volume, 1e-12);
    const auto modes = coupled_modes(rigid_system(s, air), 900);
    ASSERT_EQ(modes.size(), 2u);
    for (std::size_t i = 0; i < modes.size(); ++i) {
      if (resistivity > 1e5) {
        EXPECT_TRUE(modes[i].damped_away);
        continue;
      }
      const double k = wave_number(air.air, air.frequencies[Eigen::Index(i) + 1]);
      Complex w = 2 * M_PI * air.frequencies[Eigen::Index(i) + 1];
      for (int round = 0; round < 500; ++round) {
        const AirFluid f = porous_fluid(air.air, resistivity, w.real() / (2 * M_PI));
        w = 0.5 * w + 0.5 * k * std::sqrt(f.bulk_modulus / f.density);
      }
      EXPECT_FALSE(modes[i].damped_away);
      EXPECT_NEAR(modes[i].frequency, std::sqrt((w * w).real()) / (2 * M_PI), 1e-4 * modes[i].frequency);
      EXPECT_NEAR(modes[i].loss_factor, (w * w).imag() / (w * w).real(), 1e-4);
      EXPECT_LT(modes[i].residual, 1e-6);
    }
  }
}

TEST(Lining, NoResistanceIsAir) {
  const OutsideAir air;
  const AirFluid plain = plain_fluid(air);
  for (double hz : {50.0, 500.0}) {
    const AirFluid thin = porous_fluid(air, 1e-6, hz);
    EXPECT_NEAR(std::abs(thin.density / plain.density - 1.0), 0, 1e-4);
    EXPECT_NEAR(std::abs(thin.bulk_modulus / plain.bulk_modulus - 1.0), 0, 1e-4);
  }
}

// The constants, in the other form they are published in, with the resistivity in thousands: 5.50, 8.43, 7.81, 11.41
// times (10^3 f / sigma)^-0.632 and ^-0.618 (Miki 1990, eqs. for Z and k; from memory, rounded to 1 %).
TEST(Lining, AgreesWithTheOtherPublishedForm) {
  const OutsideAir air;
  const AirFluid plain = plain_fluid(air);
  using Complex = std::complex<double>;
  for (double x : {0.01, 0.03, 0.1, 0.3, 1.0}) {
    const double sigma = 10000;
    const Complex z = 1.0 + Complex(5.50, -8.43) * std::pow(1e3 * x, -0.632);
    const Complex k = 1.0 + Complex(7.81, -11.41) * std::pow(1e3 * x, -0.618);
    const AirFluid f = porous_fluid(air, sigma, x * sigma);
    EXPECT_NEAR(std::abs(f.density / (plain.density * z * k) - 1.0), 0, 0.01) << x;
    EXPECT_NEAR(std::abs(f.bulk_modulus / (plain.bulk_modulus * z / k) - 1.0), 0, 0.01) << x;
  }
}

TEST(Lining, IsPassive) {
  // Energy only goes down: with exp(+i w t) the density has a negative imaginary part, the modulus a positive one; the
  // modulus lies between the isothermal (1 / 1.4) and the adiabatic one, within 10 % for the fit at low X.
  const OutsideAir air;
  const AirFluid plain = plain_fluid(air);
  for (double hz : {20.0, 100.0, 500.0, 2000.0})
    for (double resistivity : {500.0, 5000.0, 50000.0}) {
      const AirFluid f = porous_fluid(air, resistivity, hz);
      EXPECT_LT(f.density.imag(), 0);
      EXPECT_GE(f.bulk_modulus.imag(), 0) << hz << " " << resistivity;
      EXPECT_GT((f.bulk_modulus / plain.bulk_modulus).real(), 0.9 / 1.4);
      EXPECT_LT((f.bulk_modulus / plain.bulk_modulus).real(), 1.0);
    }
}

TEST(InsideCoupling, ClosedSurface) {
  // Divergence theorem: a shift of all wood moves no volume, u = x moves 3 V; plugs of cut-outs and rims included.
  Structure s = stand_mount(board_material);
  const SolveOptions options = to(300, 2, 0.5);
  SolveReport report;
  const Model model = build_model(s, options, report);
  InsideField field;
  const InsideAir air = solve_inside_air(s, air_to(300), &field);
  const auto &x = model.discretisation.points;
  NodeShapes shapes(3, Eigen::Matrix<double, Eigen::Dynamic, 3>::Zero(x.rows(), 3));
  shapes[0].col(0).setOnes();
  shapes[1].col(1).setOnes();
  shapes[2] = x;
  double area = 0;
  Eigen::MatrixXd C = field.shapes.transpose() * couple_faces(model, shapes, field, &area);
  for (const Mouth &mouth : mouths_of(s))
    C += mouth.area * (field.shapes.transpose() * mouth_mean(field, mouth)) *
         rim_motion(model, shapes, mouth).transpose();
  const double even = 1 / std::sqrt(air.volume);
  // The mean over a rim lies half the wall's thickness outside the inner face.
  double plugs = 0;
  for (const Mouth &mouth : mouths_of(s)) plugs += mouth.area * 0.009;
  EXPECT_NEAR(C(0, 0) / even / area, 0, 1e-6);
  EXPECT_NEAR(C(0, 1) / even / area, 0, 1e-4);
  EXPECT_NEAR(C(0, 2) / even / (3 * air.volume + plugs), 1, 1e-4);
  EXPECT_NEAR(air.volume / volumes_of(s).inner, 1, 1e-6);
}

}  // namespace
}  // namespace stillbox
