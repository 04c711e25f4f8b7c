// SPDX-License-Identifier: MIT
#pragma once
#include <CLI/CLI.hpp>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <string>

namespace stillbox {

/// What every program that looks for inputs that break something is told on its command line.
struct Search {
  std::uint64_t seed = 1;
  std::size_t most = 20;
  std::string keep = "findings";
  long show = -1;
};

inline void add_search_options(CLI::App &app, Search &search) {
  app.add_option("--seed", search.seed, "of the random numbers")->capture_default_str();
  app.add_option("--keep", search.keep, "folder for what fails")->capture_default_str();
  app.add_option("--most", search.most, "findings after which it is left")->capture_default_str();
  app.add_option("--show", search.show, "print the input of this number and end");
}

/// Writes an input that failed into the folder for them; its path.
inline std::string keep_finding(const Search &search, const std::string &name, const std::string &bytes) {
  std::filesystem::create_directories(search.keep);
  const std::string path = (std::filesystem::path(search.keep) / name).string();
  std::ofstream(path, std::ios::binary) << bytes;
  return path;
}

}  // namespace stillbox
