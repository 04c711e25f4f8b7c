// SPDX-License-Identifier: MIT
#include "solver/lining.h"

#include <algorithm>
#include <cmath>

namespace stillbox {

AirFluid plain_fluid(const OutsideAir &air) { return {air.density, air.density * air.speed * air.speed}; }

AirFluid porous_fluid(const OutsideAir &air, double flow_resistivity, double hz) {
  if (flow_resistivity <= 0) return plain_fluid(air);
  using Complex = std::complex<double>;
  const double x = std::max(hz, 1.0) / flow_resistivity;
  const Complex z = 1.0 + Complex(0.070, -0.107) * std::pow(x, -0.632);
  const Complex k = 1.0 + Complex(0.109, -0.160) * std::pow(x, -0.618);
  const AirFluid plain = plain_fluid(air);
  const Complex modulus = plain.bulk_modulus * z / k;
  return {plain.density * z * k, {modulus.real(), std::max(0.0, modulus.imag())}};
}

}  // namespace stillbox
