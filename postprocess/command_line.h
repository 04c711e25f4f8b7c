// SPDX-License-Identifier: MIT
#pragma once
#include <initializer_list>
#include <string>
#include <vector>

#include "postprocess/board_command.h"
#include "postprocess/commands.h"
#include "postprocess/listen_command.h"
#include "postprocess/match_command.h"
#include "postprocess/place_command.h"
#include "postprocess/report_command.h"
#include "postprocess/workshop_line.h"

namespace CLI {
class App;
}

namespace stillbox {

/// What the command line says, as it is written there: lengths in mm, times in ms.
struct CommandWords {
  std::string case_path, out, damping = "where-needed";
  std::vector<std::string> variants;
  double up_to = 0, fineness = 0;
  int degree = 0, picture_modes = 6, side_by_side = 0;
  bool check_run = false, times = false, json = false;
  SheetOptions sheet;
  std::string sheet_thickness = "3";
  KnockOptions knock;
  double contact_ms = 3;
  ListenOptions listen;
  BoardOptions board;
  MatchRequest match;
  WorkshopWords workshop;
  DriveOptions drive;
  PlaceOptions place;
  ReportOptions report;
  std::vector<std::string> shares;
};

/// Each declares a command with its options, which go to `words`. Commands are listed in the order they are declared.
CLI::App *add_check(CLI::App &app, CommandWords &words);
CLI::App *add_mesh(CLI::App &app, CommandWords &words);
CLI::App *add_modes(CLI::App &app, CommandWords &words);
CLI::App *add_sheet(CLI::App &app, CommandWords &words);
CLI::App *add_knock(CLI::App &app, CommandWords &words);
CLI::App *add_air(CLI::App &app, CommandWords &words);
CLI::App *add_listen(CLI::App &app, ListenOptions &options);
CLI::App *add_board(CLI::App &app, BoardOptions &options);
CLI::App *add_match(CLI::App &app, CommandWords &words);
CLI::App *add_drive(CLI::App &app, CommandWords &words);
CLI::App *add_place(CLI::App &app, CommandWords &words);
CLI::App *add_report(CLI::App &app, CommandWords &words);
CLI::App *add_merge(CLI::App &app, CommandWords &words);

/// What to say of options that had another name once; "" when none of the words after `command` is one.
std::string renamed_option_advice(const std::string &command, const std::vector<std::string> &words);

/// Declares --json for each of them.
void add_json(std::initializer_list<CLI::App *> commands, CommandWords &words);

}  // namespace stillbox
