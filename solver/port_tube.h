// SPDX-License-Identifier: MIT
#pragma once
#include <complex>

#include "mesh/structure.h"
#include "solver/monopole_sound.h"

namespace stillbox {

/// The air in a port as one mass that moves as a whole. Its own near field inside comes with the shapes of the air
/// inside (inside_air.h), which take the mouth for a disc that nothing surrounds: `end_inside` is what is missing of
/// the end correction of the real mouth.
struct PortTube {
  double area = 0, radius = 0;    ///< m2; m, of the circle of that area
  double length = 0;              ///< m, of the tube
  double end_outside = 0;         ///< m: 8 r / (3 pi), flush with the wall
  double end_inside = 0;          ///< m, beyond what the air inside does
  double formula_end_inside = 0;  ///< m: the whole end correction of the hand formula
  OutsideAir air;
  double viscosity = 1.81e-5;  ///< Pa s
};

/// End corrections in parts of the radius r: flanged 8 / (3 pi) = 0.8488 (Rayleigh), unflanged 0.6133 (Levine and
/// Schwinger, Phys. Rev. 73, 383, 1948; from memory).
constexpr double flanged_end = 0.848826363, unflanged_end = 0.6133;

/// A mouth that ends in the wall's inner face is flanged by it: all of its end correction is in the air inside. One
/// that stands in the room is unflanged, 0.6133 r, or flared, taken as flanged; a disc in the open has half the flanged
/// one, which the air inside holds.
PortTube port_tube(const Structure &structure, const Port &port, const OutsideAir &air);

/// Mass (kg) per -w^2 x, complex with the losses, at w (1/s, > 0): M* with the force balance -w^2 M* x = S p.
/// Tube: rho S L [1 + (1 - i) delta / r], delta = sqrt(2 mu / (rho w)) << r, the friction of a wide tube (Crandall's
/// limit; from memory). Radiation outside: resistance rho c S (k r)^2 / 2 of a small flanged piston. Swirl at high
/// levels is not in it.
std::complex<double> port_mass(const PortTube &tube, double w);

/// w0 / 2 pi of the hand formula c / (2 pi) sqrt(S / (V L)), L with the formula's end corrections, no losses.
double helmholtz_frequency(const PortTube &tube, double volume);

}  // namespace stillbox
