// SPDX-License-Identifier: MIT
#include "postprocess/command_docs.h"

#include <CLI/CLI.hpp>

#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

OptionDoc option_doc(const CLI::Option &option) {
  OptionDoc doc;
  for (const std::string &name : option.get_snames()) doc.names.push_back("-" + name);
  for (const std::string &name : option.get_lnames()) doc.names.push_back("--" + name);
  doc.is_positional = doc.names.empty();
  if (doc.is_positional) doc.names.push_back(option.get_name());
  doc.is_flag = option.get_items_expected_max() == 0;
  doc.is_required = option.get_required();
  doc.help = option.get_description();
  if (doc.is_flag) return doc;
  doc.standard = option.get_default_str();
  // The library writes checks behind a colon: "TEXT:{a,b}", "FLOAT:FLOAT in [0.5 - 4]".
  const std::string type = option.get_type_name();
  const std::size_t colon = type.find(':');
  const std::string check = colon == std::string::npos ? "" : type.substr(colon + 1);
  if (check.size() > 2 && check.front() == '{' && check.back() == '}')
    doc.choices = comma_cells(check.substr(1, check.size() - 2));
  doc.value = check.empty() || !doc.choices.empty() ? type.substr(0, colon) : check;
  return doc;
}

}  // namespace

CommandDoc command_docs(const CLI::App &app) {
  CommandDoc doc;
  doc.name = app.get_name();
  doc.help = app.get_description();
  doc.footer = app.get_footer();
  for (const CLI::Option *option : app.get_options()) doc.options.push_back(option_doc(*option));
  for (const CLI::App *command : app.get_subcommands([](const CLI::App *) { return true; }))
    doc.commands.push_back(command_docs(*command));
  return doc;
}

}  // namespace stillbox
