// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/drive_shapes.h"
#include "solver/inside_air.h"

namespace stillbox {

/// The air in a port that moves as one mass, end corrections included but no radiation: complex with its friction,
/// -w^2 mass x = force, so that the friction's resistance is -w Im(mass).
struct ForcedPort {
  int opening = 0;                                      ///< index into InsideAir::openings
  double area = 0;                                      ///< m2
  std::function<std::complex<double>(double hz)> mass;  ///< kg
};

/// What the steady response of a cabinet to its drivers is made of, at reduced size. Motions are displacements: the
/// shapes of the walls (m sqrt(kg)), then cones, then the air in ports (m, absolute, out of the box). Time factor
/// exp(+i w t), amplitudes rms.
///   walls   [K*(f) - w^2 (1 - sum of m r r')] q + reactions = pressure inside and outside
///   cone    drive_stiffness (x - r'q) - w^2 M x = blocked force + pressures,  minus the same on the frame by r
///   port    i w loss (x - r'q) - w^2 m x = pressures, minus the same on the wall by r (loss: -w Im(mass), m: Re(mass))
///   air     A(f) a = w^2 B y, A = sum over regions of [gradients / density - w^2 masses / bulk_modulus], walls B' a
/// r: mean motion of the rim along the outward normal, per shape. The mass of a cone is part of the driver's mass on
/// the rim; there it is taken off along the axis (m r r'), as the cone does not follow the frame.
struct ForcedSystem {
  struct Cone {
    SmallSignal values;
    double moving_mass = 0;  ///< kg, M: without what the standing waves and the sound outside bring in themselves
    double rim_mass = 0;     ///< kg, m
    Eigen::VectorXd rim;     ///< per shape
  };
  struct Port {
    std::function<std::complex<double>(double hz)> mass;  ///< kg
    Eigen::VectorXd rim;
  };
  ShapeStiffness stiffness;
  std::vector<Cone> cones;
  std::vector<Port> ports;
  Eigen::MatrixXd coupling;  ///< B: air modes x motions, m^1.5 and so on; no rows without air
  std::vector<AirRegion> regions;
  Eigen::MatrixXd wall_mass;  ///< shapes x shapes: air that the air's shapes leave out and walls carry; empty: none

  int shapes() const { return int(stiffness.lambda.size()); }
  int motions() const { return shapes() + int(cones.size() + ports.size()); }
};

/// Puts walls, cones, ports and the air together. `cone_openings`: the index of each cone's opening. `rims`: openings x
/// shapes, the mean motion of each cut-out's rim. What a cone or port leaves of its cut-out, and all of one without
/// either, is a rigid plug that moves air with the rim; `coupled_area`: per opening, the area (m2) that wall_coupling
/// moves with the rim already.
/// The air's shapes give a cone a mass of their own at low frequencies, rho S^2 phi' G^-1 phi with the gradients G of
/// all regions, uniform pressures aside; as the moving mass of a data sheet holds the air that swings along, rho 8/3
/// a^3 a side in a baffle, this is taken off it, at most that much.
ForcedSystem make_forced_system(const ShapeStiffness &stiffness, const InsideAir &air, double density,
                                const std::vector<SmallSignal> &drivers, const std::vector<int> &cone_openings,
                                const std::vector<ForcedPort> &ports, const Eigen::MatrixXd &rims,
                                const Eigen::VectorXd &coupled_area);

/// What happens at one frequency. Powers in W, all >= 0 in a passive box; they add up:
/// electrical = coil + suspension + walls + lining + ports + radiated.
struct ForcedAnswer {
  double frequency = 0;
  Eigen::VectorXcd motions;             ///< m
  Eigen::VectorXcd air;                 ///< amplitudes of the air modes, Pa m^1.5
  Eigen::VectorXcd current, impedance;  ///< per driver: A, ohm
  struct Powers {
    double electrical = 0, coil = 0, suspension = 0, walls = 0, lining = 0, ports = 0, radiated = 0;
  } powers;
};

/// Dynamic stiffness of all motions with the air inside condensed and the radiation impedance outside, Z (motions x
/// motions, N s/m; empty: none) in it: symmetric, N/m.
Eigen::MatrixXcd dynamic_stiffness(const ForcedSystem &system, double frequency, const Eigen::MatrixXcd &radiation);

/// The answer to the drivers' voltages; `walls_move` = false holds all shapes still (a rigid box on the ground).
/// Errors: SolveError when the equations are singular; std::domain_error outside a material's table.
ForcedAnswer forced_response(const ForcedSystem &system, double frequency, const Eigen::MatrixXcd &radiation,
                             bool walls_move = true);

}  // namespace stillbox
