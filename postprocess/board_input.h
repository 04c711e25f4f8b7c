// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/board_command.h"
#include "postprocess/board_material.h"
#include "solver/free_plate_fit.h"

namespace stillbox {

// Internal to board_command.cpp: the options read and checked.

enum class BarMode { flexural, second_flexural, edgewise, torsional };

struct BoardTone {
  double frequency = 0, sd = 0;                ///< Hz
  BarMode bar_mode = BarMode::flexural;        ///< strip
  int nodes_x = -1, nodes_y = -1;              ///< plate
  double loss_factor = 0, loss_factor_sd = 0;  ///< 0: not heard
};

struct BoardInput {
  bool is_plate = false;
  FreePlate sizes;
  PlateSpread spread;
  std::vector<BoardTone> tones;
  BoardBase base;
  bool across = false;                         ///< the length lies across the grain
  double poissons_ratio = 0, shear_ratio = 0;  ///< of the length's direction
  double loss_factor = -1;                     ///< given; below 0: not
  std::string how;                             ///< where the tones come from, for the printout
};

/// Errors: CaseError.
BoardInput read_board(const BoardOptions &options);

}  // namespace stillbox
