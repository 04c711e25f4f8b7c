// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/drive_solve.h"

namespace stillbox {

/// What the driver's shaking makes of the walls, all variants, for a terminal; no line wider than table_width.
std::string drive_text(const std::vector<DriveSolution> &variants);

/// What the figures hold and what they leave out.
std::vector<std::string> drive_includes(const std::vector<DriveSolution> &variants);
std::vector<std::string> drive_leaves_out(const std::vector<DriveSolution> &variants);

}  // namespace stillbox
