// SPDX-License-Identifier: MIT
#include "solver/lumped_air.h"

#include <cassert>
#include <cmath>

namespace stillbox {

InsideAir lumped_air(double volume, const OutsideAir &air, const Eigen::RowVectorXd &inner_volumes,
                     const std::vector<WallCutOut> &cut_outs) {
  assert(volume > 0);
  const double phi = 1 / std::sqrt(volume), density = air.density, modulus = air.density * air.speed * air.speed;
  InsideAir inside;
  inside.volume = volume;
  inside.frequencies = Eigen::VectorXd::Zero(1);
  inside.labels = {"the same pressure everywhere"};
  inside.regions.emplace_back();
  AirRegion &region = inside.regions.back();
  region.name = "air";
  region.gradients = Eigen::MatrixXd::Zero(1, 1);
  region.masses = Eigen::MatrixXd::Identity(1, 1);
  region.fluid = [density, modulus](double) { return AirFluid{density, modulus}; };
  inside.wall_coupling = phi * inner_volumes;
  for (const WallCutOut &c : cut_outs) {
    inside.openings.emplace_back();
    inside.openings.back().name = c.name;
    inside.openings.back().mean_phi = Eigen::VectorXd::Constant(1, phi);
    inside.openings.back().area = c.area;
  }
  return inside;
}

}  // namespace stillbox
