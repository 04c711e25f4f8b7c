// SPDX-License-Identifier: MIT
#pragma once
#include <iosfwd>
#include <string>
#include <vector>

namespace stillbox {

/// What `start` is told. Lengths are texts: a number of millimetres, or with a unit ("8 1/4 in"). Lists are parted by
/// commas; see start_answers.h for their forms.
struct StartOptions {
  std::string path;                             ///< the case file to write
  std::string name, material;                   ///< empty: asked, or taken from the path and "mdf"
  std::string width, depth, height, thickness;  ///< of the cabinet outside, and of its board; empty: asked
  std::string baffle_thickness;                 ///< empty: as the others
  std::string weighed;                          ///< "LENGTH, WIDTH, THICKNESS, KG" of a piece of the board
  std::vector<std::string> cut_outs, drivers, braces;
  std::string up_to;  ///< Hz
  bool teardown = false;
  bool overwrite = false;
  std::string materials_path;
};

/// Writes a commented case file that `check` accepts and returns what it came to, as text. What is not told is asked on
/// `prompts` and read from `answers`: every answer is checked, together with all before, as the case reader would, and
/// asked again when it is wrong. Nothing is asked when the three sizes and the thickness are told.
/// With `teardown`: a sheet to fill in, see teardown_text(); nothing is asked, and only a name may be told.
/// Errors: CaseError (nothing is written) for an option that is wrong, when the file exists and `overwrite` is not set,
/// and when the answers end too soon; OutputError.
std::string run_start(const StartOptions &options, std::istream &answers, std::ostream &prompts);

/// A case in which a reviewer who opened a cabinet fills in what callipers, ruler and scale say, for every "?".
/// `check` lists what is still open; a part that was weighed gives its own density.
std::string teardown_text(const std::string &name);

}  // namespace stillbox
