// SPDX-License-Identifier: MIT
// The map in DEVELOPERS.md against the tree: every file has its row, no row is without a file; the list of cases too.
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

namespace stillbox {
namespace {

namespace fs = std::filesystem;
const fs::path source = STILLBOX_SOURCE_DIR;

std::string text_of(const fs::path &path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

/// What stands in backticks in the first cells of the tables up to the end of the map.
std::set<std::string> names_on_the_map(const std::string &text) {
  std::set<std::string> names;
  std::istringstream lines(text.substr(0, text.find("\n## Build, test, debug")));
  const std::regex name("`([^`]+)`");
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("| `", 0) != 0) continue;
    const std::string cell = line.substr(0, line.find(" |", 2));
    for (auto at = std::sregex_iterator(cell.begin(), cell.end(), name); at != std::sregex_iterator(); ++at)
      names.insert((*at)[1]);
  }
  return names;
}

TEST(Map, EveryFileHasItsRowAndNoRowIsWithoutAFile) {
  const std::set<std::string> names = names_on_the_map(text_of(source / "DEVELOPERS.md"));
  ASSERT_GT(names.size(), 200u);
  std::set<std::string> there;
  for (const char *folder : {"mesh", "solver", "postprocess", "postprocess/page", "tests/benchmark"})
    for (const fs::directory_entry &entry : fs::directory_iterator(source / folder)) {
      if (!entry.is_regular_file()) continue;
      const std::string file = entry.path().filename().string(), stem = entry.path().stem().string();
      there.insert({file, stem});
      EXPECT_TRUE(names.count(file) || names.count(stem)) << folder << "/" << file << " has no row in DEVELOPERS.md";
    }
  for (const std::string &name : names) EXPECT_TRUE(there.count(name)) << "no file is called " << name;
}

TEST(Map, EveryCaseIsListed) {
  const std::string list = text_of(source / "cases" / "README.md");
  for (const fs::directory_entry &entry : fs::directory_iterator(source / "cases")) {
    const std::string file = entry.path().filename().string(), extension = entry.path().extension().string();
    const bool is_data = extension == ".toml" || extension == ".csv" || extension == ".step";
    EXPECT_TRUE(!is_data || list.find("](" + file + ")") != std::string::npos) << file;
  }
}

}  // namespace
}  // namespace stillbox
