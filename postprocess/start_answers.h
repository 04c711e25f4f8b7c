// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

// Internal to start_command.cpp: what has been answered so far, and the case file it makes.

/// All lengths as TOML values: 18 or "3/4 in".
struct StartAnswers {
  std::string name = "my cabinet";
  std::string width, depth, height, thickness, baffle_thickness;
  std::string material = "mdf";
  std::vector<std::string> weighed;  ///< length, width, thickness, kg; empty: not weighed
  std::string up_to = "1000";
  struct CutOutAnswer {
    std::string name, wall, shape, across, up;
    std::string size, second_size;  ///< diameter, or width and height
  };
  std::vector<CutOutAnswer> cut_outs;
  struct DriverAnswer {
    std::string cut_out, mass, mounting;
  };
  std::vector<DriverAnswer> drivers;
  std::vector<std::string> braces;  ///< the lines of each table after its heading

  bool has_sizes() const { return !width.empty() && !depth.empty() && !height.empty() && !thickness.empty(); }
};

/// Sets what the option says, "--width" and so on; a list option adds an item. The forms of lists:
///   --weighed  LENGTH, WIDTH, THICKNESS, KG
///   --cut-out  NAME, WALL, round, ACROSS, UP, DIAMETER    or    NAME, WALL, rectangle | slot, ACROSS, UP, WIDTH,
///   HEIGHT
///   --driver   CUT-OUT, KG [, rigid basket | mass only]
///   --brace    NAME, shelf, DIRECTION, AT [, THICKNESS]
///              NAME, window, DIRECTION, AT, RIM [, THICKNESS]
///              NAME, rib, WALL, DIRECTION, AT, STAND-OFF [, THICKNESS]
///              NAME, bar, DIRECTION, AT, AT, SIZE, SIZE
///              NAME, corner block, WALL, WALL, SIZE, SIZE
/// Errors: std::invalid_argument with value, what is allowed and what to do; the answers are as before then. Whether
/// things fit together is left to trial_reading().
void set_answer(StartAnswers &answers, const std::string &option, const std::string &value);

/// The case file.
std::string start_text(const StartAnswers &answers);

/// Reads the text as a case: "" when it is sound, else the first problem without file and line.
/// Errors: CaseError for a broken list of materials.
std::string trial_reading(const StartAnswers &answers, const std::string &materials_path);

}  // namespace stillbox
