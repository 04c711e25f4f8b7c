// SPDX-License-Identifier: MIT
#include "solver/outside_interpolation.h"

#include <gtest/gtest.h>

#include <cmath>

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
const OutsideAir air{1.2, 343};

struct Setting {
  SurfaceMesh mesh = box_surface({0.22, 0.30, 0.38}, 0.07);
  Eigen::MatrixXd shapes;
  Eigen::Matrix<double, Eigen::Dynamic, 3> points{2, 3};
  Setting() {
    shapes = Eigen::MatrixXd::Zero(mesh.elements.size(), 3);
    for (int i = 0; i < int(mesh.elements.size()); ++i) {
      const double x = mesh.centres(i, 0), y = mesh.centres(i, 1), z = mesh.centres(i, 2);
      if (mesh.wall[i] == baffle) shapes(i, 0) = std::sin(pi * x / 0.22) * std::sin(pi * z / 0.38);
      if (mesh.wall[i] == baffle) shapes(i, 1) = std::sin(pi * x / 0.22) * std::sin(2 * pi * z / 0.38);
      if (mesh.wall[i] == top) shapes(i, 2) = std::sin(2 * pi * x / 0.22) * std::sin(2 * pi * y / 0.30);
    }
    points << 0.11, -2, 0.19, 1.1, 0.15, 0.6;
  }
};

// The sweep against solutions at frequencies it has not seen, over 40 .. 900 Hz.
TEST(OutsideInterpolation, AgreesWithSolutionsItHasNotSeen) {
  const Setting t;
  const SoundSweep sweep = sweep_outside(t.mesh, air, t.shapes, t.points, 40, 900);
  EXPECT_LE(sweep.error, 0.01);
  EXPECT_LE(sweep.frequencies.size(), 18u);
  EXPECT_LT(sweep.mesh_asymmetry, 0.02);
  for (double f : {40.0, 57.0, 123.0, 234.5, 405.0, 650.0, 801.0, 899.0}) {
    const ShapeSound solved = solve_shapes(t.mesh, air, t.shapes, t.points, f);
    EXPECT_LE(largest_difference(solved, sound_at(sweep, f)), 0.01) << f;
  }
  // At a solved frequency it is the solution.
  const double solved = sweep.frequencies[2];
  EXPECT_LT(largest_difference(solve_shapes(t.mesh, air, t.shapes, t.points, solved), sound_at(sweep, solved)), 1e-9);
}

TEST(OutsideInterpolation, TooFewSolutionsAreOwnedUp) {
  const Setting t;
  SweepOptions options;
  options.most_solves = 6;
  const SoundSweep sweep = sweep_outside(t.mesh, air, t.shapes, t.points, 40, 900, options);
  EXPECT_EQ(sweep.frequencies.size(), 6u);
  EXPECT_GT(sweep.error, options.tolerance);
  double worst = 0;
  for (double f : {123.0, 234.5, 650.0, 801.0})
    worst = std::max(worst, largest_difference(solve_shapes(t.mesh, air, t.shapes, t.points, f), sound_at(sweep, f)));
  EXPECT_GT(worst, options.tolerance);  // so the refusal was right
  EXPECT_LT(worst, 3 * sweep.error);    // and its size is
}

}  // namespace
}  // namespace stillbox
