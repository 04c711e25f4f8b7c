// SPDX-License-Identifier: MIT
#include "solver/monopole_sound.h"

#include <cassert>
#include <cmath>

namespace stillbox {

constexpr double pi = 3.14159265358979323846;

OutsideAir outside_air(double celsius) {
  assert(celsius >= -40 && celsius <= 80);
  const double ratio = (celsius + 273.15) / 273.15;
  return {1.293 / ratio, 331.3 * std::sqrt(ratio)};
}

double wave_number(const OutsideAir &air, double frequency) { return 2 * pi * frequency / air.speed; }

std::complex<double> monopole_pressure(const OutsideAir &air, double frequency, std::complex<double> volume_velocity,
                                       double distance) {
  assert(distance > 0);
  return std::complex<double>(0, 2 * pi * frequency * air.density) * volume_velocity *
         std::polar(1.0, -wave_number(air, frequency) * distance) / (4 * pi * distance);
}

double monopole_power(const OutsideAir &air, double frequency, std::complex<double> volume_velocity) {
  const double w = 2 * pi * frequency;
  return w * w * air.density * std::norm(volume_velocity) / (8 * pi * air.speed);
}

}  // namespace stillbox
