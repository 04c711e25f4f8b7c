// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "solver/modes.h"

// Small structures for the physics tests, and their frequencies. With STILLBOX_TELL set in the environment the tests
// also print what they found.

namespace stillbox {

inline Material isotropic(double youngs_modulus, double poissons_ratio, double density) {
  Material m;
  m.name = "test";
  m.law = isotropic_law(youngs_modulus, poissons_ratio);
  m.density = density;
  return m;
}

/// A plate a x b x h in the plane z = 0 .. h with nothing that holds it. A block or a bar is a thick plate.
inline Structure free_plate(double a, double b, double h, const Material &material) {
  Structure s;
  s.materials = {material};
  s.boards = {make_rectangle("plate", {0, 0, 0}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(), a, b, h, 0)};
  return s;
}

inline Structure free_disc(double radius, double h, const Material &material) {
  Structure s = free_plate(1, 1, h, material);
  s.boards[0].outline.clear();
  s.boards[0].disc_radius = radius;
  return s;
}

inline Structure held(Structure s, const std::vector<int> &sides, EdgeKind kind) {
  for (int side : sides) s.edge_supports.push_back({0, side, kind});
  return s;
}

inline const std::vector<int> all_sides{u_low, u_high, v_low, v_high};

/// A plate of unit D and unit mass per area, so that omega a^2 sqrt(rho h / D) = omega for a = 1.
inline Material unit_plate_material(double h, double poissons_ratio) {
  return isotropic(12 * (1 - poissons_ratio * poissons_ratio) / (h * h * h), poissons_ratio, 1 / h);
}

struct Solved {
  SolveReport report;
  Model model;  ///< its structure pointer is good only while the caller keeps the structure
  Spectrum spectrum;
  std::vector<double> omegas;  ///< elastic ones, rad/s

  double hertz(std::size_t i) const { return omegas.at(i) / (2 * M_PI); }
};

inline Solved solve(const Structure &s, const SolveOptions &options) {
  Solved r;
  r.model = build_model(s, options, r.report);
  r.spectrum = solve_spectrum(r.model, options, r.report);
  for (double value : r.spectrum.elastic.values) r.omegas.push_back(std::sqrt(value));
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    %d cells %d dofs mesh %.2f assemble %.2f factorise %.2f eigen %.2f s, %zu modes\n", r.report.cells,
                r.report.dofs, r.report.seconds_mesh, r.report.seconds_assemble, r.report.seconds_factorise,
                r.report.seconds_eigen, r.omegas.size());
  return r;
}

/// All elastic modes below `omega` (rad/s). `fineness` cells per plate side as long as the bending wave needs fewer.
inline Solved solve_to(const Structure &s, double omega, double fineness, int degree) {
  SolveOptions options;
  options.up_to = omega / (2 * M_PI);
  options.fineness = fineness;
  options.degree = degree;
  return solve(s, options);
}

/// The first modes are the expected ones, each within the relative tolerance, in this order.
inline void expect_modes(const std::vector<double> &found, const std::vector<double> &expected, double tolerance) {
  ASSERT_GE(found.size(), expected.size());
  for (std::size_t i = 0; i < expected.size(); ++i) {
    EXPECT_NEAR(found[i] / expected[i], 1, tolerance) << "mode " << i + 1 << ": " << found[i];
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    mode %zu: %.6g, expected %.6g, %+.3f %%\n", i + 1, found[i], expected[i],
                  100 * (found[i] / expected[i] - 1));
  }
}

}  // namespace stillbox
