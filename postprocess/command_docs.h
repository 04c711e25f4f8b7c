// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace CLI {
class App;
}

namespace stillbox {

/// The command line as data, taken from its declarations: what completion and the man page are made of.
struct OptionDoc {
  std::vector<std::string> names;  ///< "--variant"; "-h", "--help"; of a positional one only its word, "CASE"
  bool is_positional = false, is_flag = false, is_required = false;
  std::string value;                 ///< what it takes, as words: "TEXT", "FLOAT in [0.5 - 4]"; empty for a flag
  std::vector<std::string> choices;  ///< allowed words, when only some are
  std::string standard;              ///< default as shown; empty for none
  std::string help;
};

struct CommandDoc {
  std::string name, help, footer;
  std::vector<OptionDoc> options;
  std::vector<CommandDoc> commands;
};

CommandDoc command_docs(const CLI::App &app);

/// A bash script that completes commands, options, their words, folders after --out and case files (bash(1),
/// "Programmable Completion").
std::string bash_completion(const CommandDoc &program);

/// The manual page in the man macros (man(7)), section 1.
std::string man_page(const CommandDoc &program, const std::string &version);

}  // namespace stillbox
