// SPDX-License-Identifier: MIT
#include "solver/driver_model.h"

#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;

double omega_of(double frequency) { return 2 * M_PI * frequency; }

}  // namespace

double driver_resonance(const SmallSignal &s) { return 1 / (2 * M_PI * std::sqrt(s.moving_mass * s.compliance)); }

double suspension_resistance(const SmallSignal &s) { return std::sqrt(s.moving_mass / s.compliance) / s.mechanical_q; }

double driver_total_q(const SmallSignal &s) {
  return s.mechanical_q * s.electrical_q / (s.mechanical_q + s.electrical_q);
}

double equivalent_air_volume(const SmallSignal &s, const OutsideAir &air) {
  return air.density * air.speed * air.speed * s.cone_area * s.cone_area * s.compliance;
}

Complex coil_impedance(const SmallSignal &s, double frequency) {
  return {s.coil_resistance, omega_of(frequency) * s.coil_inductance};
}

Complex drive_stiffness(const SmallSignal &s, double frequency) {
  const Complex iw(0, omega_of(frequency));
  return 1 / s.compliance + iw * suspension_resistance(s) +
         iw * s.force_factor * s.force_factor / coil_impedance(s, frequency);
}

Complex blocked_force(const SmallSignal &s, double frequency) {
  return s.force_factor * s.voltage / coil_impedance(s, frequency);
}

Complex coil_current(const SmallSignal &s, double frequency, Complex motion) {
  return (s.voltage - s.force_factor * Complex(0, omega_of(frequency)) * motion) / coil_impedance(s, frequency);
}

ClosedBox closed_box(const SmallSignal &s, const OutsideAir &air, double volume) {
  const double rise = std::sqrt(1 + equivalent_air_volume(s, air) / volume);
  return {driver_resonance(s) * rise, s.mechanical_q * rise, s.electrical_q * rise, driver_total_q(s) * rise};
}

Complex closed_box_impedance(const SmallSignal &s, const OutsideAir &air, double volume, double frequency) {
  const Complex iw(0, omega_of(frequency));
  const double air_stiffness = air.density * air.speed * air.speed * s.cone_area * s.cone_area / volume;
  const Complex motion = iw * s.moving_mass + suspension_resistance(s) + (1 / s.compliance + air_stiffness) / iw;
  return coil_impedance(s, frequency) + s.force_factor * s.force_factor / motion;
}

}  // namespace stillbox
