// SPDX-License-Identifier: MIT
// Completion as bash does it, and the manual page, against what --help says.
#include <map>
#include <regex>
#include <set>

#include "postprocess/option_length.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

std::set<std::string> found_in(const std::string &text, const std::string &pattern) {
  std::set<std::string> found;
  const std::regex expression(pattern);
  for (auto at = std::sregex_iterator(text.begin(), text.end(), expression); at != std::sregex_iterator(); ++at)
    found.insert((*at)[1]);
  return found;
}

/// What the program prints; started once for the same words, as that takes half a second.
const std::string &printed(const std::string &words) {
  static std::map<std::string, std::string> known;
  const auto old = known.find(words);
  return old != known.end() ? old->second : known[words] = ran(STILLBOX_BINARY " " + words).out;
}

/// The commands of `stillbox --help`.
std::set<std::string> commands_of_help() {
  const std::string &help = printed("--help");
  return found_in(help.substr(help.find("Subcommands:")), "\n  ([a-z]+) ");
}

std::set<std::string> options_of_help(const std::string &command) {
  return found_in(printed(command + " --help"), "\n  (?:-[a-z],)?(--[a-z-]+)");
}

/// What bash offers for the last of `words` ("" is an empty one), in `folder`.
std::set<std::string> offered(const std::string &words, const std::string &folder = ".") {
  const CaseText script("");
  std::ofstream(script.path) << printed("completion");
  const Ran result =
      ran("cd " + folder + " && bash -c 'set -eu; source " + script.path + "; COMP_WORDS=(stillbox " + words +
          "); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _stillbox || true; "
          "printf \"%s\\n\" \"${COMPREPLY[@]}\"' 2>&1");
  EXPECT_EQ(result.code, 0) << result.out;
  return found_in("\n" + result.out, "([^\n]+)");
}

using Offer = std::set<std::string>;

TEST(Completion, CommandsOptionsWordsAndFiles) {
  EXPECT_EQ(offered("mod"), Offer{"modes"});
  EXPECT_EQ(offered("modes --chec"), Offer{"--check-run"});
  EXPECT_EQ(offered("modes --damping \"\""), (Offer{"energy", "exact", "where-needed"}));
  EXPECT_EQ(offered("modes --up-to \"\""), Offer{});
  EXPECT_EQ(offered("nothing --\"\""), Offer{});
  const CaseText text(box);
  std::filesystem::create_directory(text.folder / "results");
  std::ofstream(text.folder / "notes.txt") << "x";
  const std::string folder = in_quotes(text.folder.string());
  EXPECT_EQ(offered("check \"\"", folder), (Offer{"results", "trial.toml"}));
  EXPECT_EQ(offered("cut trial.toml --out \"\"", folder), Offer{"results"});
  EXPECT_EQ(offered("listen \"\"", folder), (Offer{"notes.txt", "results", "trial.toml"}));
}

TEST(Completion, KnowsAllThatHelpKnows) {
  const std::set<std::string> commands = commands_of_help();
  ASSERT_GE(commands.size(), 12u);
  const std::set<std::string> offer = offered("\"\"");
  for (const std::string &command : commands) EXPECT_TRUE(offer.count(command)) << command;
  for (const std::string &command : commands) EXPECT_EQ(offered(command + " --"), options_of_help(command)) << command;
}

TEST(Manual, DescribesAllThatHelpKnows) {
  std::string page = printed("manual");
  EXPECT_EQ(page.rfind(".TH STILLBOX 1", 0), 0u);
  page = std::regex_replace(page, std::regex("\\\\-"), "-");
  for (const std::string &command : commands_of_help()) {
    const std::size_t from = page.find(".SS \\fB" + command + "\\fR");
    ASSERT_NE(from, std::string::npos) << command;
    const std::string part = page.substr(from, page.find(".S", from + 3) - from);
    for (const std::string &option : options_of_help(command))
      EXPECT_NE(part.find("\\fB" + option + "\\fR"), std::string::npos) << command << " " << option;
  }
  // No line of text may be taken for a request: those in use are known.
  for (const std::string &request : found_in("\n" + page, "\n([.'][^ \n]*)"))
    EXPECT_TRUE((Offer{".TH", ".SH", ".SS", ".TP", ".PP", ".br"}).count(request)) << request;
}

TEST(Options, EarlierNamesAreToldTodays) {
  const CaseText text(box);
  const std::pair<const char *, const char *> options[] = {{"drive {} --at 300,710", "--surface-hz"},
                                                           {"drive {} --points=30", "--frequencies"},
                                                           {"place {} --part 1/2", "--share"},
                                                           {"cut {} --sheet-size \"2440, 1220\"", "--stock-size"}};
  for (const auto &[words, now] : options) {
    std::string command = words;
    command.replace(command.find("{}"), 2, in_quotes(text.path));
    const Ran result = ran(STILLBOX_BINARY " " + command + " 2>&1");
    EXPECT_EQ(result.code, 2) << command;
    EXPECT_EQ(std::count(result.out.begin(), result.out.end(), '\n'), 1) << result.out;
    EXPECT_NE(result.out.find("is now called " + std::string(now)), std::string::npos) << result.out;
    const std::string name = command.substr(0, command.find(' '));
    EXPECT_TRUE(options_of_help(name).count(now)) << name << " " << now;
  }
}

TEST(Options, LengthsInMillimetresOrWithAUnit) {
  EXPECT_DOUBLE_EQ(option_length("sheet", "--thickness", "3", 0.05, 100), 0.003);
  EXPECT_DOUBLE_EQ(option_length("sheet", "--thickness", "1/8 in", 0.05, 100), 0.003175);
  for (const char *wrong : {"", "3,5", "thick", "nan", "0", "101", "-3", "1e99"}) try {
      option_length("sheet", "--thickness", wrong, 0.05, 100);
      ADD_FAILURE() << wrong;
    } catch (const CaseError &error) {
      EXPECT_EQ(std::string(error.what()).rfind("sheet: --thickness", 0), 0u) << error.what();
    }
}

}  // namespace
}  // namespace stillbox
