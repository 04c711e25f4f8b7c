// SPDX-License-Identifier: MIT
#pragma once
#include <complex>

namespace stillbox {

/// The air outside.
struct OutsideAir {
  double density = 1.204;  ///< kg/m3
  double speed = 343.2;    ///< of sound, m/s
};

/// Dry air at 101325 Pa: speed 331.3 m/s sqrt(T / 273.15 K), density 1.293 kg/m3 (273.15 K / T). Range -40 .. 80
/// degrees C. Source: from memory (ideal gas).
OutsideAir outside_air(double celsius);

/// k = 2 pi f / c, 1/m.
double wave_number(const OutsideAir &air, double frequency);

/// Pressure (Pa) at the distance r (m) of a small source of the volume velocity Q (m3/s) in free space, both complex
/// amplitudes with the time factor exp(+i w t):
///   p = i w rho Q exp(-i k r) / (4 pi r).
/// With Q the net volume velocity of a body, and r from its middle, this is the limit for k a << 1, a its half
/// diameter: what does not move air on the whole (swaying, even modes) is not in it. The relative error is of the order
/// (k a)^2 in level and k a |dipole moment / (Q a)| from the dipole part.
std::complex<double> monopole_pressure(const OutsideAir &air, double frequency, std::complex<double> volume_velocity,
                                       double distance);

/// The power (W) it radiates: w^2 rho |Q|^2 / (8 pi c).
double monopole_power(const OutsideAir &air, double frequency, std::complex<double> volume_velocity);

}  // namespace stillbox
