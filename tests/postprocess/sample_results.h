// SPDX-License-Identifier: MIT
#pragma once
#include <cmath>
#include <functional>
#include <limits>
#include <string>

#include "solver/modal_result.h"

namespace stillbox::test {

constexpr double pi = 3.14159265358979323846;

/// A face without shapes; all points are wood.
inline FaceSamples make_face(const std::string &board, const std::string &role, double size_u, double size_v, int nu,
                             int nv) {
  FaceSamples face;
  face.board = board;
  face.role = role;
  face.size = {size_u, size_v};
  face.nu = nu;
  face.nv = nv;
  face.present.assign(static_cast<std::size_t>(nu * nv), 1);
  return face;
}

/// Adds a shape w(s, t) with s, t in 0 .. 1 along u and v.
inline void add_shape(FaceSamples &face, const std::function<double(double, double)> &w) {
  Eigen::VectorXd values(face.nu * face.nv);
  for (int j = 0; j < face.nv; ++j) {
    for (int i = 0; i < face.nu; ++i) values[i + j * face.nu] = w(i / (face.nu - 1.0), j / (face.nv - 1.0));
  }
  face.normal.push_back(values);
}

/// Takes the wood out of a circle, in board coordinates.
inline void drill(FaceSamples &face, double u, double v, double radius) {
  for (int j = 0; j < face.nv; ++j) {
    for (int i = 0; i < face.nu; ++i) {
      const double du = i * face.size[0] / (face.nu - 1) - u, dv = j * face.size[1] / (face.nv - 1) - v;
      if (du * du + dv * dv < radius * radius) face.present[static_cast<std::size_t>(i + j * face.nu)] = 0;
    }
  }
}

/// The six walls of an invented cabinet W x D x H by their outer faces, without shapes.
inline std::vector<FaceSamples> make_walls(double w, double d, double h, int nu = 17, int nv = 17) {
  const Eigen::Vector3d x(1, 0, 0), y(0, 1, 0), z(0, 0, 1);
  std::vector<FaceSamples> walls;
  const auto add = [&](const char *name, double su, double sv, const Eigen::Vector3d &origin, const Eigen::Vector3d &u,
                       const Eigen::Vector3d &v) {
    walls.push_back(make_face(name, "wall", su, sv, nu, nv));
    walls.back().origin = origin;
    walls.back().u = u;
    walls.back().v = v;
  };
  add("baffle", w, h, {0, 0, 0}, x, z);
  add("back", w, h, {w, d, 0}, -x, z);
  add("left", d, h, {0, d, 0}, -y, z);
  add("right", d, h, {w, 0, 0}, y, z);
  add("top", w, d, {0, 0, h}, x, y);
  add("bottom", w, d, {w, 0, 0}, -x, y);
  return walls;
}

inline Mode make_mode(double frequency, const std::string &label) {
  Mode mode;
  mode.frequency = frequency;
  mode.numerical_error = 0.0012;
  mode.check_shift = std::numeric_limits<double>::quiet_NaN();
  mode.residual = 1e-9;
  mode.band_low = 0.92 * frequency;
  mode.band_high = 1.07 * frequency;
  mode.loss_factor = 0.02;
  mode.quality = 50;
  mode.decay_time = 2.2 / (0.02 * frequency);
  mode.net_volume = 0.003;
  mode.net_share = 0.4;
  mode.label = label;
  return mode;
}

/// A cabinet with `frequencies.size()` modes; mode m has m + 1 half-waves up the left and right walls.
inline ModalResult make_cabinet(const std::string &variant, const std::vector<double> &frequencies) {
  ModalResult result;
  result.case_name = "invented test cabinet";
  result.variant_name = variant;
  result.mass = 9.5;
  result.inner_volume = 0.0151;
  result.faces = make_walls(0.22, 0.30, 0.38);
  for (const FaceSamples &face : result.faces) result.boards.push_back({face.board, "wall", "mdf", 1.5, 0.002});
  for (std::size_t m = 0; m < frequencies.size(); ++m) {
    result.modes.push_back(make_mode(frequencies[m], "left, right: 1 x " + std::to_string(m + 1)));
    result.modes.back().energy_share = {0.02, 0.03, 0.5, 0.4, 0.04, 0.01};
    for (FaceSamples &face : result.faces) {
      const bool side = face.board == "left" || face.board == "right";
      const double half_waves = static_cast<double>(m) + 1;
      add_shape(face, [=](double s, double t) {
        return (side ? 1.0 : 0.1) * std::sin(pi * s) * std::sin(half_waves * pi * t);
      });
    }
  }
  result.report.dofs = 30000;
  result.report.up_to = 1500;
  result.report.rigid_modes = 6;
  result.report.counted_below = 6 + static_cast<int>(frequencies.size());
  result.report.includes = {"elastic boards"};
  result.report.leaves_out = {"the air"};
  return result;
}

}  // namespace stillbox::test
