// SPDX-License-Identifier: MIT
#include "solver/drive_air.h"

#include <cmath>

#include "solver/port_tube.h"

namespace stillbox {

AirMaker air_inside(const Structure &structure, double up_to, double fineness) {
  return has_inside_mesh(structure) ? standing_wave_air(structure, up_to, fineness) : AirMaker();
}

AirMaker standing_wave_air(const Structure &structure, double up_to, double fineness) {
  return
      [&structure, up_to, fineness](const Model &m, const Eigen::MatrixXd &vectors, const std::vector<WallCutOut> &) {
        DriveAir inside;
        InsideAirOptions options;
        options.up_to = up_to;
        options.fineness = fineness;
        inside.air = solve_inside_air(m, vectors, options);
        inside.wall_mass = inside.air.air.density * inside.air.wall_residual;
        // Cut-outs move with their rims in wall_coupling but for the ports'.
        inside.coupled_area = Eigen::VectorXd::Zero(inside.air.openings.size());
        for (std::size_t o = 0; o < inside.air.openings.size(); ++o) {
          const AirOpening &opening = inside.air.openings[o];
          if (opening.port < 0) {
            inside.coupled_area[o] = opening.area;
            continue;
          }
          PortTube tube = port_tube(structure, structure.ports[opening.port], inside.air.air);
          inside.ports.push_back({int(o), tube.area, [tube](double f) {
                                    const double w = 2 * M_PI * f, k = w / tube.air.speed;
                                    const double radiation = tube.air.density * tube.air.speed * tube.area *
                                                             std::pow(k * tube.radius, 2) / 2;
                                    return port_mass(tube, w) + std::complex<double>(0, radiation / w);
                                  }});
        }
        return inside;
      };
}

}  // namespace stillbox
