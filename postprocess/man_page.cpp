// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "postprocess/command_docs.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

/// Text for groff: no escapes, no control lines, hyphens that can be copied as such.
std::string roff(const std::string &text) {
  std::string out;
  for (const char c : clean_text(text)) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else if (c == '\'')
      out += "\\(aq";
    else if (c == '`')
      out += "\\(ga";
    else
      out += c;
  }
  if (!out.empty() && out[0] == '.') out.insert(0, "\\&");
  return out + "\n";
}

std::string bold(const std::string &text) {
  std::string inner = roff(text);
  inner.pop_back();
  return "\\fB" + inner + "\\fR";
}

std::string italic(const std::string &text) {
  std::string inner = roff(text);
  inner.pop_back();
  return "\\fI" + inner + "\\fR";
}

std::string option_entry(const OptionDoc &option) {
  std::string head;
  for (const std::string &name : option.names)
    head += (head.empty() ? "" : ", ") + (option.is_positional ? italic(name) : bold(name));
  if (!option.is_positional && !option.is_flag && option.choices.empty()) head += " " + italic(option.value);
  std::string words = option.help;
  std::string choices;
  for (const std::string &choice : option.choices) choices += (choices.empty() ? "" : ", ") + choice;
  if (!choices.empty()) words += "; one of " + choices;
  if (!option.standard.empty()) words += "; default " + option.standard;
  if (option.is_required && !option.is_positional) words += "; required";
  return ".TP\n" + head + "\n" + roff(words);
}

std::string synopsis(const CommandDoc &command) {
  std::string text = bold("stillbox") + " " + bold(command.name);
  for (const OptionDoc &option : command.options)
    if (option.is_positional) text += " " + italic(option.names[0]);
  return text + " [" + italic("options") + "]\n";
}

}  // namespace

std::string man_page(const CommandDoc &program, const std::string &version) {
  std::string text = fmt::format(".TH STILLBOX 1 \"\" \"stillbox {}\" \"User Commands\"\n", version);
  text += ".SH NAME\nstillbox \\- how the walls of a loudspeaker cabinet ring\n.SH SYNOPSIS\n";
  for (const CommandDoc &command : program.commands) text += synopsis(command) + ".br\n";
  text += ".SH DESCRIPTION\n" + roff(program.help) + ".PP\n" + roff(program.footer);
  text += ".SH OPTIONS\n";
  for (const OptionDoc &option : program.options) text += option_entry(option);
  text += ".SH COMMANDS\n";
  for (const CommandDoc &command : program.commands) {
    text += ".SS " + bold(command.name) + "\n" + roff(command.help);
    for (const OptionDoc &option : command.options) text += option_entry(option);
  }
  text +=
      ".SH EXIT STATUS\n.TP\n0\nall well\n.TP\n1\nthe work failed; the reason is printed\n.TP\n2\n"
      "the input is wrong or the output cannot be written; found before any work\n";
  text +=
      ".SH ENVIRONMENT\n.TP\n\\fBSTILLBOX_MATERIALS\\fR\na file of materials in place of the built\\-in ones\n"
      ".TP\n\\fBTMPDIR\\fR\nwhere large intermediate results go\n";
  text += ".SH CAUTIONS\n" +
          roff(
              "Dust of fibre board and hardwood harms the lungs; glue, solvents and bitumen need a well-aired room; "
              "cabinets are heavy and tip; powered boxes carry mains voltage; loud sweeps hurt ears. Local codes and "
              "licensed practice come first.") +
          roff("A prediction is not a measurement.");
  return text;
}

}  // namespace stillbox
