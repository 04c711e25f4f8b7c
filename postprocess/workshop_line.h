// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>

#include "postprocess/converge_command.h"
#include "postprocess/cut_command.h"
#include "postprocess/start_command.h"

namespace CLI {
class App;
}

namespace stillbox {

/// What the commands around the solver are told on the command line.
struct WorkshopWords {
  std::string version;  ///< of the program, for its manual
  StartOptions start;
  bool schema = false;
  std::string case_path;
  CutOptions cut;
  ConvergeOptions converge;
};

/// Declares the commands start, cut, converge, keys, completion and manual. The last two describe all of `app`.
void add_workshop_commands(CLI::App &app, WorkshopWords &words);

/// Runs the one of them that was called: what it prints; nothing when another command was called.
/// Errors: as the command's.
std::optional<std::string> run_workshop_command(const CLI::App &app, WorkshopWords &words);

}  // namespace stillbox
