// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/coupled_modes.h"

namespace stillbox {

/// One variant with the air inside.
struct AirSolution {
  ModalResult modes;  ///< of the walls without air
  InsideAir air;
  InsideField field;            ///< mesh and shapes of the standing waves
  std::vector<PortTube> tubes;  ///< per port of the structure
  std::vector<std::string> ports;
  std::vector<CoupledMode> rigid;                                          ///< air, linings and ports with rigid walls
  std::vector<CoupledMode> coupled;                                        ///< with the walls
  std::vector<int> rigid_of_standing, rigid_of_port;                       ///< indices into `rigid`, -1: not found
  std::vector<int> coupled_of_wall, coupled_of_standing, coupled_of_port;  ///< into `coupled`
  std::vector<Coincidence> coincidences;  ///< of standing waves and wall modes up to the top frequency
  double seconds_air = 0;
};

/// Walls by solve_modes, then the air. Errors: MeshError (before the long work), SolveError.
AirSolution solve_air(const Structure &structure, const SolveOptions &options);

}  // namespace stillbox
