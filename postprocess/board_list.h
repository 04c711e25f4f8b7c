// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// A board as it is cut, in SI units.
struct BoardLine {
  std::string name;
  std::string role;                              ///< "wall", "brace", "sheet" or "free"
  std::string material;                          ///< of all layers, e.g. "mdf" or "plywood 12 / mdf 9"
  std::string grain;                             ///< direction of the grain in words, empty when the board has none
  double size_u = 0, size_v = 0, thickness = 0;  ///< m
  double mass = 0;                               ///< kg
  std::vector<std::string> cut_outs;             ///< in words, e.g. "woofer, round 145 mm"
};

/// The boards as a table for the terminal, sizes in mm, with the sum of the masses, the mass of fittings (kg, left out
/// when 0), the inner volume (m3, shown in litres, left out when 0) and brief cautions for the workshop.
/// No line is wider than 110 columns.
std::string board_list(const std::vector<BoardLine> &boards, double mass_of_fittings = 0, double inner_volume = 0);

}  // namespace stillbox
