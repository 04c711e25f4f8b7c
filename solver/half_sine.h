// SPDX-License-Identifier: MIT
#pragma once
#include <complex>

#include "solver/knock_model.h"

namespace stillbox {

// The half-sine pulse F(t) = peak sin(a t), a = pi / contact, 0 <= t <= contact, in closed form. All of its figures
// come from g(z) = (exp(z) - 1) / z, which is smooth at z = 0, so no frequency or pole is special.

/// (exp(z) - 1) / z, by its power series where the quotient would cancel.
std::complex<double> exponential_quotient(std::complex<double> z);

/// F (N) and its slope (N/s) at time t (s); 0 outside the contact. At its ends the slope jumps: the value within.
double pulse_force(const KnockPulse &pulse, double t);
double pulse_slope(const KnockPulse &pulse, double t);

/// Integral of F(t) exp(-i 2 pi f t) dt (N s): peak a (1 + exp(-i w contact)) / (a^2 - w^2), and its limit
/// -i peak contact / 2 at f = 1 / (2 contact). At f = 0 the momentum, 2 peak contact / pi.
std::complex<double> pulse_spectrum(const KnockPulse &pulse, double frequency);

/// I(t) = integral from 0 to min(t, contact) of F(s) exp(p (t - s)) ds (N s) for a pole p (1/s), 0 before:
///   during contact  peak [a exp(p t) - a cos(a t) - p sin(a t)] / (a^2 + p^2)
///   afterwards      peak a [exp(p contact) + 1] / (a^2 + p^2) exp(p (t - contact)).
std::complex<double> pulse_on_pole(const KnockPulse &pulse, std::complex<double> pole, double t);

}  // namespace stillbox
