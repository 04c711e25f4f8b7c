// SPDX-License-Identifier: MIT
// A driver on a whole box: its shapes against the direct solution, the outside against the sum of its parts, energy.
#include "solver/drive_solve.h"

#include "mesh/grid.h"
#include "solver/direct_response.h"
#include "solver/driver_model.h"
#include "solver/face_samples.h"
#include "solver/lumped_air.h"
#include "tests/solver/cabinets.h"
#include "tests/solver/drivers.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// Thin and soft enough for walls that are heard; a driver in the baffle, a hole at the back that is closed.
Structure driven_box(double youngs_modulus = 3e9) {
  Material board = isotropic(youngs_modulus, 0.3, 750);
  board.loss_factor = 0.03;
  Structure s = cabinet(0.2, 0.16, 0.24, 0.01, Corner::butt, board);
  s.boards[baffle].cut_outs = {{"woofer", CutOutShape::round, {0.1, 0.1}, 0.13, 0.13, false}};
  s.boards[back].cut_outs = {{"terminal", CutOutShape::rectangle, {0.1, 0.16}, 0.05, 0.05, false}};
  RimMass driver{"woofer driver", baffle, 0, 1.1, false, 0, {0, 0, 0}, woofer()};
  s.rim_masses = {driver};
  s.case_name = "test";
  s.variant_name = "base";
  return s;
}

DriveRequest request_to(double up_to, int points) {
  DriveRequest r;
  r.up_to = up_to;
  r.points = points;
  r.solve.fineness = 0.5;
  return r;
}

// Receptances between the rim and the walls' volumes by modes, stand-ins for the higher ones and rigid motions, against
// the complex solution of all unknowns at that frequency (same mesh).
TEST(DriveSolve, ShapesAnswerLikeTheDirectSolution) {
  const Structure s = driven_box();
  const SolveOptions options = to(500, 3, 0.5);
  solve_modes(s, options, [&](Model &m, const Spectrum &spectrum, const std::vector<DampedMode> &) {
    const std::vector<WallCutOut> cut_outs = wall_cut_outs(s);
    ASSERT_EQ(cut_outs.size(), 2u);
    const SampleColumns rims = rim_columns(m, cut_outs), inner = inner_wall_columns(m);
    Eigen::MatrixXd loads(m.unknowns.count, 7);
    loads << Eigen::MatrixXd(rims).col(0), Eigen::MatrixXd(inner);
    const DriveShapes shapes = make_drive_shapes(m, spectrum, loads, options);
    EXPECT_EQ(shapes.rigid, 6);
    EXPECT_EQ(shapes.left_out, 14);
    const Eigen::MatrixXd on = loads.transpose() * shapes.vectors;
    for (double f : {30.0, 430.0}) {
      Eigen::MatrixXcd D = stiffness_at(shapes.stiffness, f);
      D.diagonal().array() -= std::pow(2 * M_PI * f, 2);
      const Eigen::MatrixXcd have = on.cast<Complex>() * D.inverse() * on.transpose().cast<Complex>();
      const SampleColumns columns = loads.sparseView();
      const Eigen::MatrixXcd direct = direct_receptance(m, columns, columns, f);
      for (int i = 0; i < 7; ++i)
        for (int j = 0; j < 7; ++j)
          EXPECT_LT(std::abs(have(i, j) - direct(i, j)), 2e-3 * std::sqrt(std::abs(direct(i, i) * direct(j, j))))
              << f << " " << i << " " << j;
    }
    // A box that shifts as a whole: every rim moves with it, and the walls' inner volumes along it cancel.
    const Eigen::VectorXd shift = restrict_rigid(m.unknowns, m.discretisation, {0, 1, 0}, {0, 0, 0}, {0, 0, 0});
    const Eigen::VectorXd rim = rims.transpose() * shift, volume = inner.transpose() * shift;
    EXPECT_NEAR(rim[0], -1, 1e-9);
    EXPECT_NEAR(rim[1], 1, 1e-9);
    const double area = 0.18 * 0.22;
    // The polygon-free rims are round to the degree of the elements.
    EXPECT_NEAR(volume[baffle], -(area - cut_outs[0].area), 1e-4 * area);
    EXPECT_NEAR(volume[back], area - cut_outs[1].area, 1e-4 * area);
    EXPECT_NEAR(volume[left], 0, 1e-12);
  });
}

// Mean velocities over the outside's elements move as much air as the finite elements' faces and the plugs.
TEST(DriveSolve, PatternsKeepTheNetVolume) {
  const Structure s = driven_box();
  solve_modes(s, to(500, 3, 0.5), [&](Model &m, const Spectrum &spectrum, const std::vector<DampedMode> &) {
    const std::vector<WallCutOut> cut_outs = wall_cut_outs(s);
    const Eigen::MatrixXd &X = spectrum.elastic.vectors;
    const Eigen::MatrixXd rims = rim_columns(m, cut_outs).transpose() * X;
    const SurfaceMesh mesh = cabinet_surface(s, outside_air(20), 500);
    const Eigen::MatrixXd wood = outside_columns(m, mesh).transpose() * X;
    const OutsidePatterns p =
        make_outside_patterns(mesh, s, wood, {{baffle, 0}, {back, 0}}, rims, {{baffle, 0, 0.0113}});
    std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> shapes;
    for (int k = 0; k < X.cols(); ++k) shapes.push_back(expand(m.unknowns, m.discretisation, X.col(k)));
    const Eigen::VectorXd net = net_volumes(m, shapes);
    for (int k = 0; k < X.cols(); ++k) {
      const double plugs = (cut_outs[0].area - 0.0113) * rims(0, k) + cut_outs[1].area * rims(1, k);
      const double gross = mesh.areas.dot(p.shapes.col(k).cwiseAbs());
      EXPECT_NEAR(mesh.areas.dot(p.shapes.col(k)), net[k] + plugs, 5e-3 * gross) << k;
    }
    EXPECT_NEAR(mesh.areas.dot(p.pistons.col(0)), 0.0113, 1e-9);
    const Eigen::MatrixXd again = p.basis * p.map;
    const double size = p.shapes.colwise().norm().maxCoeff();
    EXPECT_LT((again.leftCols(X.cols()) - p.shapes).colwise().norm().maxCoeff(), 1e-3 * size);
    EXPECT_LT((again.rightCols(1) - p.pistons).norm(), 1e-12);
  });
}

TEST(DriveSolve, WholeBox) {
  DriveRequest request = request_to(600, 40);
  request.at = {300};
  const DriveSolution s = solve_drive(driven_box(), request);
  ASSERT_GT(s.modes.modes.size(), 2u);
  ASSERT_EQ(s.sound.size(), s.answers.size());
  ASSERT_EQ(s.surfaces.size(), 1u);
  EXPECT_LT(s.sweep_error, 0.01);
  // Solved anew with all motions together: sound on the axis, and the power by patterns against the far field.
  EXPECT_LT(s.check.sound_difference, 0.02);
  EXPECT_LT(std::abs(s.check.power_difference), 0.02);
  for (std::size_t i = 0; i < s.answers.size(); ++i) {
    const ForcedAnswer::Powers &p = s.answers[i].powers;
    EXPECT_NEAR((p.coil + p.suspension + p.walls + p.lining + p.ports + p.radiated) / p.electrical, 1, 1e-6);
    EXPECT_GE(p.radiated, 0);
    const DriveSound &d = s.sound[i];
    EXPECT_LT(std::abs(d.walls.on_axis + d.cones.on_axis + d.ports.on_axis - d.total.on_axis),
              1e-9 * std::abs(d.total.on_axis));
    Complex by_wall = 0;
    for (const SoundPart &wall : d.wall) by_wall += wall.on_axis;
    EXPECT_LT(std::abs(by_wall - d.walls.on_axis), 1e-9 * std::abs(d.walls.on_axis) + 1e-15);
    EXPECT_LT(std::abs(d.shape.sum() - d.walls.on_axis), 1e-9 * std::abs(d.walls.on_axis) + 1e-15);
    EXPECT_EQ(d.ports.sphere, 0);
  }
  // The total power is that of the sphere's mean square: P = 4 pi r^2 p^2 / (rho c).
  const DriveSound &last = s.sound.back();
  EXPECT_NEAR(last.total.sphere * last.total.sphere * 4 * M_PI / (s.air.density * s.air.speed) /
                  s.answers.back().powers.radiated,
              1, 0.05);
}

// At low frequencies the cone is a small source of the volume velocity S v, and a rigid box leaves the textbook's
// impedance; the walls of a box a thousand times stiffer are 60 dB down in their elastic motion, so that what is left
// is the box swaying as a whole, an almost silent dipole.
TEST(DriveSolve, LowFrequenciesAndStiffWalls) {
  const Structure structure = driven_box(3e12);
  const DriveSolution s = solve_drive(structure, request_to(300, 30));
  EXPECT_TRUE(s.modes.modes.empty());
  for (std::size_t i = 0; i < s.answers.size() && s.frequencies[Eigen::Index(i)] < 60; ++i) {
    const double f = s.frequencies[Eigen::Index(i)];
    const Complex velocity = Complex(0, 2 * M_PI * f) * s.answers[i].motions[s.first_cone];
    const double source = std::abs(monopole_pressure(s.air, f, 0.0113 * velocity, 1));
    EXPECT_NEAR(s.sound[i].cones.sphere / source, 1, 0.02) << f;
    const Complex textbook = closed_box_impedance(woofer(), s.air, volumes_of(structure).inner, f);
    EXPECT_LT(std::abs(s.still[i].impedance[0] / textbook - 1.0), 0.02) << f;
    EXPECT_LT(s.sound[i].walls.sphere, 0.02 * s.sound[i].cones.sphere) << f;
  }
}

}  // namespace
}  // namespace stillbox
