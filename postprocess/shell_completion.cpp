// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "postprocess/command_docs.h"

namespace stillbox {
namespace {

/// In single quotes, in which the shell expands nothing.
std::string shell_quoted(const std::string &text) {
  std::string out = "'";
  for (const char c : text) out += c == '\'' ? std::string("'\\''") : std::string(1, c);
  return out + "'";
}

std::string words_of(const CommandDoc &command) {
  std::string words;
  for (const OptionDoc &option : command.options)
    if (!option.is_positional)
      for (const std::string &name : option.names) words += (words.empty() ? "" : " ") + name;
  return words;
}

std::string names_pattern(const std::string &command, const OptionDoc &option) {
  std::string pattern;
  for (const std::string &name : option.names) pattern += (pattern.empty() ? "" : "|") + command + ":" + name;
  return pattern;
}

/// What follows an option that takes a value.
std::string value_rules(const CommandDoc &command) {
  std::string rules;
  for (const OptionDoc &option : command.options) {
    if (option.is_positional || option.is_flag) continue;
    std::string words, action;
    for (const std::string &choice : option.choices) words += (words.empty() ? "" : " ") + choice;
    if (!words.empty())
      action = "_stillbox_words " + shell_quoted(words);
    else if (option.names.back() == "--out")
      action = "_stillbox_paths -d";
    else if (option.names.back() == "--heard" || option.names.back() == "--recording")
      action = "_stillbox_paths -f";
    else
      action = "COMPREPLY=()";
    rules += fmt::format("    {})\n      {}\n      return ;;\n", names_pattern(command.name, option), action);
  }
  return rules;
}

/// What stands without an option: a case file, or any file.
std::string place_rule(const CommandDoc &command) {
  bool takes_case = false, takes_file = false;
  for (const OptionDoc &option : command.options) {
    if (!option.is_positional) continue;
    takes_case = takes_case || option.names[0] == "CASE";
    takes_file = takes_file || option.names[0] != "CASE";
  }
  if (!takes_case && !takes_file) return "";
  return fmt::format("    {}) _stillbox_paths {} ;;\n", command.name, takes_file ? "-f" : "-f -X '!*.toml'");
}

}  // namespace

std::string bash_completion(const CommandDoc &program) {
  std::string commands, options, values, places;
  for (const CommandDoc &command : program.commands) {
    commands += (commands.empty() ? "" : " ") + command.name;
    options += fmt::format("      {}) words={} ;;\n", command.name, shell_quoted(words_of(command)));
    values += value_rules(command);
    places += place_rule(command);
  }
  return R"(# bash completion for stillbox, made from its own declarations by `stillbox completion`.

_stillbox_words() {
  mapfile -t COMPREPLY < <(compgen -W "$1" -- "$current")
}

# Files of one kind, and the folders on the way to them.
_stillbox_paths() {
  compopt -o filenames 2>/dev/null
  mapfile -t COMPREPLY < <({ compgen "$@" -- "$current"; compgen -d -- "$current"; } | sort -u)
}

_stillbox() {
  local current="${COMP_WORDS[COMP_CWORD]}" previous="${COMP_WORDS[COMP_CWORD-1]}" command="" words="" word
  COMPREPLY=()
  for word in "${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case "$word" in
      -*) ;;
      *) command="$word"; break ;;
    esac
  done
  if [ -z "$command" ]; then
    _stillbox_words )" +
         shell_quoted(commands + " " + words_of(program)) + R"(
    return
  fi
  case "$command:$previous" in
)" + values +
         R"(    *) ;;
  esac
  if [[ "$current" == -* ]]; then
    case "$command" in
)" + options +
         R"(      *) ;;
    esac
    _stillbox_words "$words"
    return
  fi
  case "$command" in
)" + places +
         R"(    *) ;;
  esac
}

complete -F _stillbox stillbox
)";
}

}  // namespace stillbox
