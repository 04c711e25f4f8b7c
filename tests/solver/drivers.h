// SPDX-License-Identifier: MIT
#pragma once
#include <cmath>

#include "mesh/structure.h"

// Invented drivers for the tests.

namespace stillbox {

inline SmallSignal woofer() {
  SmallSignal s;
  s.moving_mass = 0.0145;
  s.compliance = 1.05e-3;
  s.mechanical_q = 4.5;
  s.force_factor = 7.2;
  s.coil_resistance = 5.7;
  s.coil_inductance = 0.45e-3;
  s.cone_area = 0.0113;
  s.electrical_q = std::sqrt(s.moving_mass / s.compliance) * s.coil_resistance / (s.force_factor * s.force_factor);
  return s;
}

}  // namespace stillbox
