// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/hex_mesh.h"

namespace stillbox {
namespace {

// Elements a bending wave needs so that the frequency error stays well below half a per cent (measured on the
// stand-mount cabinet against a reference of two degrees more on half the element size; see DEVELOPERS.md).
double elements_per_wave(int degree) {
  switch (degree) {
    case 2:
      return 5.0;
    case 3:
      return 2.0;
    case 4:
      return 1.6;
    default:
      return 1.2;
  }
}

}  // namespace

double element_size(const Structure &s, const Board &board, const MeshOptions &options) {
  const Board &carrier = board.attached_to >= 0 ? s.boards[board.attached_to] : board;
  // Bending stiffness of the stack about its stiffness-weighted middle, the softer of the two directions, and mass.
  double softest = 1e300, mass = 0, slowest_shear = 1e300;
  for (const Layer &layer : carrier.layers) mass += layer.thickness * s.materials[layer.material].density;
  for (int direction : {0, 1}) {
    double a = 0, b = 0, d = 0, z = 0;
    for (const Layer &layer : carrier.layers) {
      const Material &m = s.materials[layer.material];
      const double q = 1 / StressLaw(m.law.inverse())(direction, direction);
      const double lower = z, upper = z + layer.thickness;
      a += q * (upper - lower);
      b += q * (upper * upper - lower * lower) / 2;
      d += q * (std::pow(upper, 3) - std::pow(lower, 3)) / 3;
      z = upper;
      slowest_shear = std::min(slowest_shear, std::sqrt(m.law(4 - direction, 4 - direction) / m.density));
    }
    softest = std::min(softest, d - b * b / a);
  }
  // Wave number with shear (Mindlin without rotary inertia): k^2 = ks^2 / 2 + sqrt(ks^4 / 4 + kb^4), with kb the thin
  // board's and ks = w / sqrt(5/6 G / rho); fibre boards are soft in this shear, which shortens their waves.
  const double omega = 2 * M_PI * options.up_to;
  const double kb = std::pow(mass * omega * omega / softest, 0.25);
  const double ks = omega / (std::sqrt(5.0 / 6.0) * slowest_shear);
  const double wave = 2 * M_PI / std::sqrt(ks * ks / 2 + std::sqrt(std::pow(ks, 4) / 4 + std::pow(kb, 4)));
  // A board alone has no joints whose lines refine its mesh, and its held edges need smaller elements.
  const double per_wave = (s.boards.size() == 1 ? 1.5 : 1) * elements_per_wave(options.degree);
  const auto [low, high] = outline_bounds(carrier);
  return std::min(wave / per_wave, (high - low).maxCoeff()) / options.fineness;
}

}  // namespace stillbox
