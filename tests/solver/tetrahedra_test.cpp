// SPDX-License-Identifier: MIT
// Tetrahedra: the rule, free bodies, held plates, tubes, and cabinets beside the hexahedra.
#include "solver/tetrahedra.h"

#include "solver/lapack.h"
#include "tests/mesh/case_text.h"
#include "tests/mesh/solid_boxes.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

// Integral of x^i y^j z^k over the unit tetrahedron: i! j! k! / (i + j + k + 3)! (Dirichlet's integral, exact).
TEST(Tetrahedra, RuleIsExact) {
  const auto factorial = [](int n) { return std::tgamma(n + 1.0); };
  for (int n = 1; n <= 6; ++n) {
    const TetRule rule = tetrahedron_rule(n);
    EXPECT_GT(rule.weights.minCoeff(), 0);
    for (int i = 0; i <= 2 * n - 1; ++i)
      for (int j = 0; i + j <= 2 * n - 1; ++j)
        for (int k = 0; i + j + k <= 2 * n - 1; ++k) {
          double sum = 0;
          for (Eigen::Index q = 0; q < rule.weights.size(); ++q)
            sum += rule.weights[q] * std::pow(rule.points(q, 0), i) * std::pow(rule.points(q, 1), j) *
                   std::pow(rule.points(q, 2), k);
          EXPECT_NEAR(sum, factorial(i) * factorial(j) * factorial(k) / factorial(i + j + k + 3), 1e-14);
        }
  }
}

// The free cube of tests/solver/solid_bodies_test.cpp: Lame's triple is exact, the rest independently recomputed there.
TEST(Tetrahedra, FreeCube) {
  const double lame = std::sqrt(1 / 2.6) * std::sqrt(2.0) * M_PI;
  for (const auto &[degree, tolerance] : {std::pair{3, 2e-3}, {4, 2e-4}, {5, 1e-4}}) {
    const Solved r = solve_to(as_solids(free_plate(1, 1, 1, isotropic(1, 0.3, 1))), 2.8, 1.2, degree);
    EXPECT_EQ(r.spectrum.rigid, 6);
    expect_modes(r.omegas, {1.7713, 1.7713, 2.3852, 2.3852, 2.3852, 2.4257, 2.4257, 2.4257, lame, lame, lame},
                 tolerance);
    EXPECT_EQ(r.omegas.size(), 11u);
    for (std::size_t i = 8; i < 11; ++i) EXPECT_GT(r.omegas[i], lame * (1 - 1e-9));  // never too low
  }
}

Structure rhombus(double side, double thickness, const Material &material) {
  Structure s = free_plate(1, 1, thickness, material);
  const double c = side * std::sqrt(0.5);
  s.boards[0].outline = {{0, 0}, {side, 0}, {side + c, c}, {c, c}};
  s.edge_supports = {{0, -1, EdgeKind::clamped}};
  return s;
}

// A clamped rhombic plate of 45 degrees. Thin plate: the standard benchmark of a 10 m plate, 50 mm thick, E 200 GPa,
// nu 0.3, 8000 kg/m3, has 7.938, 12.835, 17.941 Hz (from memory): omega a^2 sqrt(rho h / D) = 65.9, 106.6, 149.0. At
// a / h = 20 shear lowers that by some per cent; the hexahedra of the same plate, a refined run, say how much.
TEST(Tetrahedra, ClampedRhombicPlate) {
  const double h = 0.05;
  const Structure plate = rhombus(1, h, unit_plate_material(h, 0.3));
  const Solved fine = solve_to(plate, 145, 1.5, 4);
  Structure s = plate;
  Solids solids;
  SolidBody body;
  body.board = 0;
  for (const double z : {0.0, h})
    for (const Eigen::Vector2d &p : plate.boards[0].outline) body.corners.emplace_back(p.x(), p.y(), z);
  body.faces = {{3, 2, 1, 0}, {4, 5, 6, 7}, {0, 1, 5, 4}, {1, 2, 6, 5}, {2, 3, 7, 6}, {3, 0, 4, 7}};
  solids.bodies = {body};
  s.solids = std::make_shared<const Solids>(solids);
  s.solids = measured_solids(s);
  const Solved r = solve_to(s, 145, 1, 4);
  ASSERT_GE(r.omegas.size(), 3u);
  const double thin[] = {65.9, 106.6, 149.0};
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_NEAR(r.omegas[i] / fine.omegas.at(i), 1, 5e-3) << r.omegas[i];
    EXPECT_LT(r.omegas[i], thin[i]);
    EXPECT_GT(r.omegas[i], thin[i] * 0.9);
  }
}

Structure tube(double diameter, double wall, double length, const Material &material) {
  Structure s;
  s.materials = {material};
  Board board;
  board.name = "tube";
  board.origin = {0, diameter / 2 - wall, 0};
  board.u = -Eigen::Vector3d::UnitX();
  board.v = Eigen::Vector3d::UnitZ();
  board.bend = Bend{{0, 0, 0}, diameter / 2, false};
  board.outline = {{0, 0}, {M_PI * diameter, 0}, {M_PI * diameter, length}, {0, length}};
  board.layers = {{0, wall, 0}};
  s.boards = {board};
  SolidBody body;
  body.board = 0;
  body.profile = {circle_loop({0, 0}, diameter / 2), circle_loop({0, 0}, diameter / 2 - wall)};
  body.height = length;
  Solids solids;
  solids.bodies = {body};
  s.solids = std::make_shared<const Solids>(solids);
  s.solids = measured_solids(s);
  return s;
}

// First elastic frequency of a free Timoshenko beam: Ritz with monomials for deflection and slope on -1 .. 1.
double timoshenko_free(double E, double G, double rho, double I, double A, double kappa, double L) {
  constexpr int n = 10;
  const auto integral = [](int p) { return p % 2 ? 0.0 : 2.0 / (p + 1); };  // of x^p
  Eigen::MatrixXd K = Eigen::MatrixXd::Zero(2 * n, 2 * n), M = K;
  const double half = L / 2;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) {
      const double slopes = i > 0 && j > 0 ? i * j * integral(i + j - 2) / half : 0;
      K(i, j) += kappa * G * A * slopes;                                           // w' w'
      K(n + i, n + j) += E * I * slopes + kappa * G * A * integral(i + j) * half;  // psi' psi', psi psi
      K(i, n + j) -= i > 0 ? kappa * G * A * i * integral(i - 1 + j) : 0;          // -w' psi
      K(n + j, i) = K(i, n + j);
      M(i, j) += rho * A * integral(i + j) * half;
      M(n + i, n + j) += rho * I * integral(i + j) * half;
    }
  const SymmetricPairs pairs = symmetric_eigenpairs(K, M);
  return std::sqrt(pairs.values[2]);  // behind a shift and a rotation
}

// A free circular tube. Bending: Euler and Bernoulli's beam, omega = beta^2 sqrt(E I / rho A) / L^2 with beta 4.73004,
// lowered by shear and rotary inertia: Timoshenko's beam, independently recomputed below by a Ritz series of Legendre
// polynomials with the shear coefficient of a thin tube, 0.5 (Cowper, J. Appl. Mech. 33, 335-340, 1966, from memory,
// has 0.53 to 0.63 for this thicker one, which moves the result by 0.3 %). Both planes alike. Degree 2 is as good as 3
// here (0.01 % higher), as the 16 elements round the tube make them small.
TEST(Tetrahedra, TubeBendsAsABeam) {
  const double D = 0.03, t = 0.004, L = 0.36, E = 70e9, rho = 2700;
  const Solved r = solve_to(tube(D, t, L, isotropic(E, 0.33, rho)), 2 * M_PI * 1600, 0.6, 2);
  ASSERT_GE(r.omegas.size(), 2u);
  EXPECT_EQ(r.spectrum.rigid, 6);
  const double d = D - 2 * t, I = M_PI / 64 * (std::pow(D, 4) - std::pow(d, 4)), A = M_PI / 4 * (D * D - d * d);
  const double euler = std::pow(4.730041, 2) * std::sqrt(E * I / (rho * A)) / (L * L);
  const double timoshenko = timoshenko_free(E, E / (2 * 1.33), rho, I, A, 0.56, L);
  EXPECT_NEAR(r.omegas[0] / r.omegas[1], 1, 1e-4);
  EXPECT_LT(timoshenko, euler * 0.99);
  EXPECT_NEAR(r.omegas[0] / timoshenko, 1, 5e-3);
}

// A tube so thin that some cells of the first volume mesher have all corners on the bent inner face and turn inside out
// when their edges are curved. Those of the second one do not; were nodes moved instead until all are positive, those
// of the faces would leave the circle.
TEST(Tetrahedra, AThinTubeOfCubicsKeepsItsRound) {
  SolveReport report;
  build_model(tube(0.03, 0.003, 0.16, isotropic(3e9, 0.3, 700)), to(1000), report);
  EXPECT_NEAR(report.volume / report.volume_expected, 1, 6e-5);
  EXPECT_GT(report.least_jacobian, 0);
}

// Its ovalling without stretching, Rayleigh's: omega^2 = E h^2 / (12 rho (1 - nu^2) R^4) n^2 (n^2 - 1)^2 / (n^2 + 1),
// whatever its length (Theory of Sound, sec. 233; from memory), for thin tubes; a ring of a narrow band without
// 1 - nu^2. Here h / R = 0.08 and the tube is long: within 2 %.
TEST(Tetrahedra, TubeOvalsAsRayleighSays) {
  const double R = 0.1, h = 0.008, E = 70e9, nu = 0.3, rho = 2700, L = 0.25;
  const Solved r = solve_to(tube(2 * R + h, h, L, isotropic(E, nu, rho)), 2 * M_PI * 700, 0.7, 3);
  ASSERT_GE(r.omegas.size(), 2u);
  const auto rayleigh = [&](double n) {
    return std::sqrt(E * h * h / (12 * rho * (1 - nu * nu) * std::pow(R, 4)) * n * n * std::pow(n * n - 1, 2) /
                     (n * n + 1));
  };
  EXPECT_NEAR(r.omegas[0] / rayleigh(2), 1, 0.02);
  EXPECT_NEAR(r.omegas[1] / r.omegas[0], 1, 1e-3);  // and the same, turned by 45 degrees
}

Material fibre_board() {
  for (const Material &m : read_materials_list(built_in_materials))
    if (m.name == "mdf") return m;
  return {};
}

// A box of 12 mm MDF, soft through its thickness: tetrahedra against the hexahedra of this program. The frequencies
// must be too high, and by no more than the errors stated.
TEST(Tetrahedra, CabinetLiesWithinItsErrorsOfTheHexahedra) {
  const Structure box = cabinet(0.16, 0.17, 0.22, 0.012, Corner::butt, fibre_board());
  const ModalResult fine = solve_modes(box, to(750, 3, 1));
  for (const int degree : {2, 3}) {
    const ModalResult r = solve_modes(as_solids(box), to(800, degree, 1));
    ASSERT_GE(r.modes.size(), fine.modes.size());
    EXPECT_EQ(r.report.rigid_modes, 6);
    EXPECT_NEAR(r.report.mass / fine.report.mass, 1, 1e-9);
    for (std::size_t i = 0; i < fine.modes.size(); ++i) {
      const double excess = r.modes[i].frequency / fine.modes[i].frequency - 1;
      EXPECT_GT(excess, 0) << degree << " mode " << i + 1;
      EXPECT_LT(excess, r.modes[i].numerical_error + fine.modes[i].numerical_error) << degree << " mode " << i + 1;
      EXPECT_LT(r.modes[i].numerical_error, 8 * std::max(excess, 1e-3)) << "useless";
      // What does not depend on the mesh: sums over walls, bands, shares.
      EXPECT_NEAR(r.modes[i].band_high / r.modes[i].frequency, fine.modes[i].band_high / fine.modes[i].frequency, 0.01);
      if (degree > 2) {
        EXPECT_NEAR(r.modes[i].net_share, fine.modes[i].net_share, 0.05) << i;
      }
    }
  }
}

// The demonstration's STEP file, written through Gmsh from the native boards, against these boards.
TEST(Tetrahedra, StepOfTheDemonstrationIsTheDemonstration) {
  Structure native = read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", built_in_materials).variants.at(0);
  native.rim_masses.clear();
  native.area_masses.clear();
  native.point_masses.clear();
  const CaseText text(
      "name = \"t\"\nup_to_hz = 1000\n[solids]\nfile = \"drawn.step\"\n[[solids.layer]]\nname = \"mdf\"\n"
      "material = \"mdf\"\nthickness_tolerance = 0.3\n");
  write_step(as_solids(native), (text.folder / "drawn.step").string());
  const Structure drawn = text.read().variants.at(0);
  const Solved a = solve(native, to(1000, 2, 0.6)), b = solve(drawn, to(1000, 2, 0.6));
  ASSERT_EQ(a.omegas.size(), b.omegas.size());
  for (std::size_t i = 0; i < a.omegas.size(); ++i) EXPECT_NEAR(b.omegas[i] / a.omegas[i], 1, 3e-3);
}

// A symmetric tapered cabinet: every mode moves alike or oppositely on the two sides, so an odd one has no net volume;
// six rigid motions; the mesh holds the mass of the exact solids; a rigid basket and feet work.
TEST(Tetrahedra, SymmetricTaperedCabinet) {
  const std::string text =
      "name = \"t\"\nup_to_hz = 900\n[shape]\nfootprint = [[0, 0], [160, 0], [120, 180], [40, 180]]\nwalls = "
      "[\"baffle\", \"right\", \"back\", \"left\"]\ncorners = \"mitre\"\nheight = 220\nboard = { material = \"mdf\", "
      "thickness = 12 }\nwall.baffle.slope_deg = 5\n[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\n"
      "centre = [80, 100]\ndiameter = 70\n[[driver]]\ncut_out = \"hole\"\nmass_kg = 0.6\nmounting = \"rigid basket\"\n";
  const CaseText file(text);
  const Structure s = file.read().variants.at(0);
  const ModalResult r = solve_modes(s, to(1100, 3, 1));
  EXPECT_EQ(r.report.rigid_modes, 6);
  EXPECT_NEAR(r.report.mass / r.report.mass_expected, 1, 1e-6);
  ASSERT_GE(r.modes.size(), 2u);
  for (const Mode &mode : r.modes) {
    const double left = mode.energy_share[3], right = mode.energy_share[1];
    EXPECT_NEAR(left, right, 0.03) << mode.label;
    const FaceSamples &f = r.faces[0];
    double even = 0, odd = 0;
    const std::size_t k = std::size_t(&mode - r.modes.data());
    for (int j = 0; j < f.nv; ++j)
      for (int i = 0; i < f.nu; ++i) {
        const int mirrored = f.nu - 1 - i + j * f.nu;
        if (!f.present[std::size_t(i + j * f.nu)] || !f.present[std::size_t(mirrored)]) continue;
        even += std::pow(f.normal[k][i + j * f.nu] + f.normal[k][mirrored], 2);
        odd += std::pow(f.normal[k][i + j * f.nu] - f.normal[k][mirrored], 2);
      }
    EXPECT_LT(std::min(even, odd), 0.02 * std::max(even, odd)) << mode.label;
    if (odd > even) {
      EXPECT_LT(mode.net_share, 0.02) << mode.label;
    }
  }
}

}  // namespace
}  // namespace stillbox
