// SPDX-License-Identifier: MIT
#include "solver/port_tube.h"

#include <cmath>

namespace stillbox {

PortTube port_tube(const Structure &s, const Port &port, const OutsideAir &air) {
  PortTube t;
  t.area = port.area;
  t.radius = std::sqrt(port.area / M_PI);
  t.length = port.length;
  t.air = air;
  t.end_outside = flanged_end * t.radius;
  const bool flush = port.length <= s.boards[port.board].thickness() + 1e-6;
  const double end = flush || port.flared_end ? flanged_end : unflanged_end;
  t.formula_end_inside = end * t.radius;
  t.end_inside = flush ? 0 : (end - flanged_end / 2) * t.radius;
  return t;
}

std::complex<double> port_mass(const PortTube &t, double w) {
  const double rho = t.air.density, layer = std::sqrt(2 * t.viscosity / (rho * w)) / t.radius;
  const double k = w / t.air.speed;
  const std::complex<double> tube = rho * t.area * t.length * std::complex<double>(1 + layer, -layer);
  const double radiation = rho * t.air.speed * t.area * std::pow(k * t.radius, 2) / 2;
  return tube + rho * t.area * (t.end_outside + t.end_inside) + std::complex<double>(0, -radiation / w);
}

double helmholtz_frequency(const PortTube &t, double volume) {
  return t.air.speed / (2 * M_PI) * std::sqrt(t.area / (volume * (t.length + t.end_outside + t.formula_end_inside)));
}

}  // namespace stillbox
