// SPDX-License-Identifier: MIT
// Drivers, masses and feet against rigid-body mechanics and textbook plates.
#include <Eigen/Eigenvalues>

#include "solver/lapack.h"
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

using Matrix6 = Eigen::Matrix<double, 6, 6>;

/// Mass matrix of rigid motion (shifts, then rotations about the origin) of a body of mass m, centre of gravity c and
/// inertia J about it: parallel axis theorem.
Matrix6 rigid_mass(double m, const Eigen::Vector3d &c, const Eigen::Matrix3d &J) {
  Eigen::Matrix3d cross;
  cross << 0, -c.z(), c.y(), c.z(), 0, -c.x(), -c.y(), c.x(), 0;
  Matrix6 M;
  M << m * Eigen::Matrix3d::Identity(), -m * cross, m * cross, J - m * cross * cross;
  return M;
}

Matrix6 box_mass(double m, const Eigen::Vector3d &centre, const Eigen::Vector3d &size) {
  const Eigen::Vector3d q = size.cwiseProduct(size) * m / 12;
  return rigid_mass(m, centre, Eigen::Vector3d(q.y() + q.z(), q.x() + q.z(), q.x() + q.y()).asDiagonal());
}

Matrix6 cylinder_mass(double m, const Eigen::Vector3d &centre, double radius, double h) {
  const double across = m * (3 * radius * radius + h * h) / 12;
  return rigid_mass(m, centre, Eigen::Vector3d(across, across, m * radius * radius / 2).asDiagonal());
}

/// The same from the finite element mass (or stiffness) matrix.
Matrix6 rigid_part(const Model &m, const SparseMatrix &lower) {
  Eigen::MatrixXd Z(m.unknowns.count, 6);
  for (int k = 0; k < 3; ++k) {
    const Eigen::Vector3d axis = Eigen::Vector3d::Unit(k), none = Eigen::Vector3d::Zero();
    Z.col(k) = restrict_rigid(m.unknowns, m.discretisation, axis, none, none);
    Z.col(3 + k) = restrict_rigid(m.unknowns, m.discretisation, none, axis, none);
  }
  return Z.transpose() * multiply(lower, Z);
}

double worst_relative(const Matrix6 &found, const Matrix6 &exact) {
  double worst = 0;
  for (int i = 0; i < 6; ++i)
    for (int j = 0; j < 6; ++j)
      worst = std::max(worst, std::abs(found(i, j) - exact(i, j)) / std::sqrt(exact(i, i) * exact(j, j)));
  return worst;
}

Structure board_with_hole() {
  Structure s = free_plate(0.3, 0.2, 0.02, isotropic(3e9, 0.3, 700));
  s.boards[0].cut_outs = {{"hole", CutOutShape::round, {0.1, 0.09}, 0.1, 0.1, false}};
  return s;
}

Matrix6 mass_of_board_with_hole() {
  return box_mass(700 * 0.3 * 0.2 * 0.02, {0.15, 0.1, 0.01}, {0.3, 0.2, 0.02}) -
         cylinder_mass(700 * M_PI * 0.05 * 0.05 * 0.02, {0.1, 0.09, 0.01}, 0.05, 0.02);
}

Model built(const Structure &s, int degree) {
  SolveReport report;
  SolveOptions options;
  options.up_to = 2000;
  options.degree = degree;
  return build_model(s, options, report);
}

TEST(Fittings, BareBoardHasTheMassOfItsShape) {
  const Structure s = board_with_hole();
  const Model m = built(s, 3);
  EXPECT_LT(worst_relative(rigid_part(m, m.system.mass), mass_of_board_with_hole()), 1e-6);
  EXPECT_EQ(m.system.fitting_mass, 0);
}

// The driver's mass lies 45 mm behind the outer face with its own inertia about that point.
TEST(Fittings, RigidBasketKeepsMassAndInertia) {
  Structure s = board_with_hole();
  s.rim_masses = {{"driver", 0, 0, 1.7, true, 0.045, {0.002, 0.003, 0.004}}};
  const Model m = built(s, 3);
  const Matrix6 driver = rigid_mass(1.7, {0.1, 0.09, 0.02 - 0.045}, Eigen::Vector3d(0.002, 0.003, 0.004).asDiagonal());
  const Matrix6 found = rigid_part(m, m.system.mass);
  EXPECT_LT(worst_relative(found, mass_of_board_with_hole() + driver), 1e-6);
  EXPECT_GT(worst_relative(found, mass_of_board_with_hole()), 0.1);
  EXPECT_DOUBLE_EQ(m.system.fitting_mass, 1.7);
}

// The same on a board that stands upright and looks backwards: inertia follows the board's axes.
TEST(Fittings, RigidBasketTurnsWithItsBoard) {
  Structure s = board_with_hole();
  s.boards[0].u = -Eigen::Vector3d::UnitX();
  s.boards[0].v = Eigen::Vector3d::UnitZ();  // normal u x v = +y
  s.rim_masses = {{"driver", 0, 0, 1.7, true, 0.045, {0.002, 0.003, 0.004}}};
  const Model m = built(s, 3);
  const Matrix6 board = box_mass(700 * 0.3 * 0.2 * 0.02, {-0.15, 0.01, 0.1}, {0.3, 0.02, 0.2});
  Matrix6 turned = cylinder_mass(700 * M_PI * 0.05 * 0.05 * 0.02, {0, 0, 0}, 0.05, 0.02);
  const Eigen::Vector3d own(turned(3, 3), turned(5, 5), turned(3, 3));  // the cylinder's axis is now y
  turned = rigid_mass(turned(0, 0), {-0.1, 0.01, 0.09}, own.asDiagonal());
  const Matrix6 driver = rigid_mass(1.7, {-0.1, 0.02 - 0.045, 0.09}, Eigen::Vector3d(0.002, 0.004, 0.003).asDiagonal());
  EXPECT_LT(worst_relative(rigid_part(m, m.system.mass), board - turned + driver), 1e-6);
}

// Mass spread over a rim is that of a ring: inertia about its axis m r^2, across m (r^2/2 + h^2/12).
TEST(Fittings, RimMassIsARing) {
  Structure s = board_with_hole();
  s.rim_masses = {{"ring", 0, 0, 1.7, false, 0, {0, 0, 0}}};
  const Model m = built(s, 3);
  const double across = 1.7 * (0.05 * 0.05 / 2 + 0.02 * 0.02 / 12);
  const Matrix6 ring =
      rigid_mass(1.7, {0.1, 0.09, 0.01}, Eigen::Vector3d(across, across, 1.7 * 0.05 * 0.05).asDiagonal());
  EXPECT_LT(worst_relative(rigid_part(m, m.system.mass), mass_of_board_with_hole() + ring), 1e-5);
}

TEST(Fittings, PointAndAreaMassesSitWhereTheyAreSaidToBe) {
  Structure s = board_with_hole();
  s.point_masses = {{"lug", 0, true, {0.27, 0.02}, 0.3}};
  s.area_masses = {{"pad", 0, false, {0.2, 0.05}, {0.28, 0.17}, 0.4}};
  const Model m = built(s, 3);
  const Matrix6 exact = mass_of_board_with_hole() + rigid_mass(0.3, {0.27, 0.02, 0.02}, Eigen::Matrix3d::Zero()) +
                        box_mass(0.4, {0.24, 0.11, 0}, {0.08, 0.12, 0});
  // The raster of 24 x 24 points under the pad has an inertia 1 / 24^2 smaller than an even spread.
  EXPECT_LT(worst_relative(rigid_part(m, m.system.mass), exact), 5e-4);
  EXPECT_DOUBLE_EQ(m.system.fitting_mass, 0.7);
}

// A mass beyond the wood is refused, not lost.
TEST(Fittings, MassOverAHoleIsRefused) {
  Structure s = board_with_hole();
  s.point_masses = {{"lug", 0, true, {0.1, 0.09}, 0.3}};
  EXPECT_THROW(built(s, 2), SolveError);
  s.point_masses.clear();
  s.feet = {{"foot", 0, false, {0.1, 0.09}, {1e4, 1e4, 1e4}}};
  EXPECT_THROW(built(s, 2), SolveError);
}

// A very stiff block on four unequal feet, with a mass at one corner, is a rigid body on springs: all six frequencies
// follow from 6 x 6 matrices. Elasticity lowers them by parts per million at this stiffness.
TEST(Fittings, StiffBlockOnFeetIsARigidBodyOnSprings) {
  const Eigen::Vector3d size(0.2, 0.3, 0.1);
  Structure s = free_plate(size.x(), size.y(), size.z(), isotropic(1e13, 0.25, 800));
  s.point_masses = {{"lug", 0, true, {0.18, 0.27}, 1.0}};
  const Eigen::Vector2d places[4] = {{0.02, 0.02}, {0.18, 0.02}, {0.18, 0.28}, {0.02, 0.28}};
  Matrix6 K = Matrix6::Zero();
  for (int i = 0; i < 4; ++i) {
    const Eigen::Vector3d k = Eigen::Vector3d(1e4, 1.5e4, 4e4) * (1 + 0.1 * i);
    s.feet.push_back({"foot", 0, false, places[i], k});
    const Eigen::Vector3d r(places[i].x(), places[i].y(), 0);
    Eigen::Matrix<double, 3, 6> motion;  // displacement of the foot under shifts and rotations
    motion << 1, 0, 0, 0, r.z(), -r.y(), 0, 1, 0, -r.z(), 0, r.x(), 0, 0, 1, r.y(), -r.x(), 0;
    K += motion.transpose() * k.asDiagonal() * motion;
  }
  const Matrix6 M =
      box_mass(800 * size.prod(), size / 2, size) + rigid_mass(1.0, {0.18, 0.27, 0.1}, Eigen::Matrix3d::Zero());
  const SymmetricPairs exact = symmetric_eigenpairs(K, M);
  std::vector<double> expected;
  for (double value : exact.values) expected.push_back(std::sqrt(value));
  const Solved r = solve_to(s, expected.back() * 1.1, 1, 2);
  EXPECT_EQ(r.spectrum.rigid, 0);
  EXPECT_EQ(r.omegas.size(), 6u);
  expect_modes(r.omegas, expected, 1e-4);
}

// Simply supported plate with a small mass m in the middle. Rayleigh's quotient with sin sin gives the upper bound
// omega0 / sqrt(1 + 4 m / M), exact to first order in m / M (any text on vibration).
TEST(Fittings, SmallMassOnAPlate) {
  const double h = 0.005;
  Structure plate = held(free_plate(1, 1, h, unit_plate_material(h, 0.3)), all_sides, EdgeKind::simple_hard);
  const double bare = solve_to(plate, 25, 3, 4).omegas.at(0);
  plate.point_masses = {{"lug", 0, true, {0.5, 0.5}, 0.02}};  // the plate weighs 1
  const double loaded = solve_to(plate, 25, 3, 4).omegas.at(0);
  const double rayleigh = bare / std::sqrt(1 + 4 * 0.02);
  EXPECT_LT(loaded, rayleigh);
  EXPECT_GT(loaded, rayleigh * 0.997);
  if (std::getenv("STILLBOX_TELL")) std::printf("    loaded / Rayleigh %.5f\n", loaded / rayleigh);
}

// A plate wholly covered by its own weight again: every bending frequency falls by sqrt 2.
TEST(Fittings, EvenMassOnAPlate) {
  const double h = 0.005;
  Structure plate = held(free_plate(1, 1, h, unit_plate_material(h, 0.3)), all_sides, EdgeKind::simple_hard);
  const Solved bare = solve_to(plate, 55, 2, 3);
  plate.area_masses = {{"pad", 0, true, {0, 0}, {1, 1}, 1.0}};
  const Solved loaded = solve_to(plate, 55, 2, 3);
  for (int i = 0; i < 3; ++i) EXPECT_NEAR(loaded.omegas.at(i) / bare.omegas.at(i), std::sqrt(0.5), 2e-4) << i;
}

// A rigid basket in the middle of a plate stiffens it: the same mass spread over a soft rim gives a lower frequency.
TEST(Fittings, RigidBasketIsStifferThanALooseRing) {
  Structure s = held(board_with_hole(), all_sides, EdgeKind::simple_soft);
  const double e = 0.05 * 0.05 / 2;  // a ring's inertia, so that only the stiffness differs
  s.rim_masses = {{"ring", 0, 0, 0.5, true, 0.01, {0.5 * e, 0.5 * e, 1.0 * e}}};
  const double rigid = solve_to(s, 2 * M_PI * 1500, 1, 3).hertz(0);
  s.rim_masses[0].rigid_basket = false;
  const double loose = solve_to(s, 2 * M_PI * 1500, 1, 3).hertz(0);
  EXPECT_GT(rigid, loose * 1.02);
}

}  // namespace
}  // namespace stillbox
