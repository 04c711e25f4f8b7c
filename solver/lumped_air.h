// SPDX-License-Identifier: MIT
#pragma once
#include "solver/drive_columns.h"
#include "solver/inside_air.h"
#include "solver/monopole_sound.h"

namespace stillbox {

/// The air inside as one spring: a single mode of the same pressure everywhere, the bulk modulus rho c^2, no loss; good
/// well below the first standing wave (f << c / (2 x longest inner side)). `inner_volumes`: per wall mode, the volume
/// (m3) its walls give free (inner_wall_columns, summed over the walls); cut-outs are openings and not in it.
InsideAir lumped_air(double volume, const OutsideAir &air, const Eigen::RowVectorXd &inner_volumes,
                     const std::vector<WallCutOut> &cut_outs);

}  // namespace stillbox
