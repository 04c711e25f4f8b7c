// SPDX-License-Identifier: MIT
#pragma once
#include "solver/inside_air.h"

namespace stillbox {

/// Air in a fibrous or porous lining as an equivalent fluid with a rigid frame, from its flow resistivity sigma (Pa
/// s/m2):
///   Z = rho c [1 + 0.070 X^-0.632 - 0.107 i X^-0.632],  k = w/c [1 + 0.109 X^-0.618 - 0.160 i X^-0.618],  X = f /
///   sigma,
/// density Z k / w, bulk modulus Z w / k, time factor exp(+i w t). sigma to 0 gives plain air. Made for 0.01 < X < 1;
/// below that the density stays passive and the modulus near the isothermal one, which is why Miki's constants are
/// taken and not those of Delany and Bazley; where the modulus would give energy (by 0.5 % at X = 4e-4) it is taken as
/// real. Frequencies below 1 Hz count as 1 Hz. Source: Y. Miki, J. Acoust. Soc. Jpn. (E) 11(1), 19-24, 1990 (constants
/// from memory).
AirFluid porous_fluid(const OutsideAir &air, double flow_resistivity, double hz);

/// Plain air without loss: density, density c^2.
AirFluid plain_fluid(const OutsideAir &air);

}  // namespace stillbox
