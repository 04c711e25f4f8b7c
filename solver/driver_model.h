// SPDX-License-Identifier: MIT
#pragma once
#include <complex>

#include "mesh/structure.h"
#include "solver/monopole_sound.h"

namespace stillbox {

// A moving-coil driver by its small-signal parameters: one moving mass M on a suspension (stiffness 1/C, resistance R),
// a coil of the impedance Re + i w Le and the force factor Bl. Time factor exp(+i w t), amplitudes are rms values.
// Linear; the cone is rigid. With the motion d of the cone relative to the frame, outwards:
//   U = (Re + i w Le) I + Bl i w d,   force of motor and suspension on the cone Bl I - (1/C + i w R) d,
// and the opposite on the frame. Source: R. H. Small, "Direct-Radiator Loudspeaker System Analysis" and "Closed-Box
// Loudspeaker Systems", J. Audio Eng. Soc. 20, 1972 (from memory).

/// Resonance in free air, Hz: 1 / (2 pi sqrt(M C)).
double driver_resonance(const SmallSignal &s);

/// R, N s/m: 2 pi fs M / Qms.
double suspension_resistance(const SmallSignal &s);

/// Qms Qes / (Qms + Qes).
double driver_total_q(const SmallSignal &s);

/// Vas, m3: the air volume as stiff as the suspension behind the cone, rho c^2 S^2 C.
double equivalent_air_volume(const SmallSignal &s, const OutsideAir &air);

/// Re + i w Le, ohm.
std::complex<double> coil_impedance(const SmallSignal &s, double frequency);

/// Force that resists the motion d with the coil closed by a source without resistance, N/m:
///   1/C + i w R + i w Bl^2 / (Re + i w Le).
std::complex<double> drive_stiffness(const SmallSignal &s, double frequency);

/// Force of the motor at rest, N: Bl U / (Re + i w Le), U = s.voltage.
std::complex<double> blocked_force(const SmallSignal &s, double frequency);

/// Current (A, rms) at a relative motion d (m, rms).
std::complex<double> coil_current(const SmallSignal &s, double frequency, std::complex<double> motion);

/// The driver on a closed box of rigid walls that holds the volume V of air, no lining: with a = Vas / V
///   fc = fs sqrt(1 + a), Qmc = Qms sqrt(1 + a), Qec, Qtc alike.
struct ClosedBox {
  double frequency = 0, mechanical_q = 0, electrical_q = 0, total_q = 0;
};
ClosedBox closed_box(const SmallSignal &s, const OutsideAir &air, double volume);

/// Impedance at its terminals there, ohm: Re + i w Le + Bl^2 / (i w M + R + (1/C + rho c^2 S^2 / V) / (i w)).
std::complex<double> closed_box_impedance(const SmallSignal &s, const OutsideAir &air, double volume, double frequency);

}  // namespace stillbox
