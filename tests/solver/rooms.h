// SPDX-License-Identifier: MIT
#pragma once
#include "solver/inside_air.h"
#include "tests/solver/cabinets.h"

// Cabinets seen from inside, for the tests of the air.

namespace stillbox {

inline const Material board_material = isotropic(3.5e9, 0.3, 750);

// A cabinet whose clear inside is W x D x H.
inline Structure room(double W, double D, double H) {
  const double t = 0.018;
  return cabinet(W + 2 * t, D + 2 * t, H + 2 * t, t, Corner::butt, board_material);
}

inline InsideAirOptions air_to(double up_to, double fineness = 1) {
  InsideAirOptions options;
  options.up_to = up_to;
  options.fineness = fineness;
  return options;
}

// A round hole in the back at a place of the inside (x, z), with a port of some length.
inline void add_port(Structure &s, double x, double z, double radius, double length) {
  const Eigen::Vector3d low = s.cabinet->inner_low;
  Board &wall = s.boards[back];
  const Eigen::Vector3d at = Eigen::Vector3d(low.x() + x, 0, low.z() + z) - wall.origin;
  wall.cut_outs.push_back(
      {"port", CutOutShape::round, {at.dot(wall.u), at.dot(wall.v)}, 2 * radius, 2 * radius, false});
  s.ports.push_back({"tube", int(back), int(wall.cut_outs.size()) - 1, length, M_PI * radius * radius, false});
}

// The static field of a disc in the wall of a box: its mean pressure per rho w^2 volume, without the even part. Sum
// over the cosines across the wall, closed form along the depth: independently derived.
inline double disc_in_box(double W, double H, double D, double x, double z, double r) {
  double sum = D / 3 / (W * H);
  for (int l = 0; l < 700; ++l)
    for (int n = 0; n < 700; ++n) {
      if (l + n == 0) continue;
      const double kx = l * M_PI / W, kz = n * M_PI / H, k = std::hypot(kx, kz);
      if (k * r > 150) continue;
      const double shape = std::cos(kx * x) * std::cos(kz * z) * 2 * j1(k * r) / (k * r);
      sum += (l ? 2 : 1) * (n ? 2 : 1) * shape * shape / (W * H * k * std::tanh(k * D));
    }
  return sum;
}

}  // namespace stillbox
