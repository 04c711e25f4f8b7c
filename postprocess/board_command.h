// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/heard.h"

namespace stillbox {

/// What `board` is asked; texts as they stand on the command line.
struct BoardOptions {
  std::string length, width, thickness;           ///< millimetres, or with a unit ("3/4 in")
  double mass = 0;                                ///< kg
  std::string length_sd, width_sd, thickness_sd;  ///< ""; 0.5, 0.5 and 0.1 mm then
  double mass_sd = -1;                            ///< kg; below 0: 0.2 % and at least 0.5 g
  double frequency_sd_percent = 0.2;              ///< of tones given without their own
  std::string shape;                              ///< strip or plate; "": strip from length / width 3 on
  std::vector<std::string> tones;                 ///< "248.2", "248.2:flexural", "142.3:2,0"
  std::string heard;                              ///< path of a heard.csv
  std::string recording;                          ///< path of a recording
  int channel = 0;
  HearOptions hear;
  int use = 5;                              ///< plate: how many of the lowest modes of a recording
  std::string based_on = "mdf";             ///< built-in material whose ratios fill what is not found
  std::string grain = "along";              ///< the length lies along or across the grain
  std::string poissons_ratio, shear_ratio;  ///< "": the base's; G through the thickness / E along the length
  std::string loss_factor;                  ///< "": that of the tones, else the base's
  std::string name = "tapped board";        ///< of the material
  std::string out;                          ///< folder for board.toml; "": print only
  bool json = false;                        ///< return board_json() (board_material.h) instead of text
  std::string materials_path;
};

/// The moduli of a board that lay free and was tapped, as text, with a [material.NAME] for a case file.
///  - A strip: E from its bending tones by ASTM E1876 (solver/free_bar.h) and by a beam that is as soft in shear
///  through
///    its thickness as the base's ratio says; the latter is used unless the base is isotropic. G from a torsional tone.
///  - A plate: ex, ey and gxy (solver/free_plate_fit.h), or e alone when the base is alike in its plane.
/// Standard deviations of sizes, mass, frequency and, unless isotropic, 30 % of the shear ratio are propagated.
/// Errors: CaseError naming option, value, what is allowed and what to do, before any file is written; OutputError.
std::string run_board(const BoardOptions &options);

}  // namespace stillbox
