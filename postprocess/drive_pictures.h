// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "postprocess/gnuplot.h"
#include "solver/drive_solve.h"

namespace stillbox {

/// Above: level on the axis, the driver's (first variant) and the walls' of every variant, dB re 20 uPa. Below: walls
/// over driver all round, dB, every variant. Errors: OutputError, see gnuplot.h.
Plot drive_walls_plot(const std::vector<DriveSolution> &variants, bool with_png = true);

/// Magnitude of the first driver's impedance, every variant, and with the walls held still (first variant); below, what
/// the walls change. Errors: OutputError.
Plot drive_impedance_plot(const std::vector<DriveSolution> &variants);

}  // namespace stillbox
