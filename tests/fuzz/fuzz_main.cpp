// SPDX-License-Identifier: MIT
// stillbox_fuzz: tries mutated files on the readers for as long as one likes.
//   stillbox_fuzz [--reader NAME] [--seconds N] [--seed N] [--keep FOLDER] [--show N] [FILE ...]
// Without FILEs: N seconds of processor time (60) for each reader, or for the one named. What fails goes to FOLDER
// (findings) under a name that says reader, seed and number. With FILEs and --reader: reads these alone.
// Exit code 1 when something was found.

#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/fuzz/guarded.h"
#include "tests/fuzz/readers.h"

namespace fs = std::filesystem;

namespace {

std::string bytes_in(const std::string &path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace

int main(int argc, char **argv) {
  std::string name, keep = "findings";
  double seconds = 60;
  std::uint64_t seed = 1;
  std::size_t most = 20;
  long show = -1;
  std::vector<std::string> files;
  CLI::App app{"Tries mutated files on the readers."};
  app.add_option("--reader", name, "only this one");
  app.add_option("--seconds", seconds, "of processor time for each reader")->capture_default_str();
  app.add_option("--seed", seed, "of the random numbers")->capture_default_str();
  app.add_option("--keep", keep, "folder for what fails")->capture_default_str();
  app.add_option("--most", most, "findings after which a reader is left")->capture_default_str();
  app.add_option("--show", show, "print the input of this number and end");
  app.add_option("FILES", files, "read these instead of mutated ones");
  CLI11_PARSE(app, argc, argv);

  const fs::path scratch = fs::temp_directory_path() / fmt::format("stillbox-fuzz-{}", ::getpid());
  fs::create_directories(scratch);
  bool is_known = name.empty();
  std::size_t found = 0;
  for (const stillbox::FuzzedReader &reader : stillbox::fuzzed_readers()) {
    if (!name.empty() && name != reader.name) continue;
    is_known = true;
    if (show >= 0) {
      stillbox::FuzzRandom random = stillbox::random_of(seed, reader.name, std::uint64_t(show));
      const std::string bytes = stillbox::mutated(reader.seeds, reader.grammar, random);
      std::fwrite(bytes.data(), 1, bytes.size(), stdout);
      fs::remove_all(scratch);
      return 0;
    }
    const auto input = [&](std::size_t i) {
      if (!files.empty()) return bytes_in(files[i]);
      stillbox::FuzzRandom random = stillbox::random_of(seed, reader.name, i);
      return stillbox::mutated(reader.seeds, reader.grammar, random);
    };
    std::size_t done = 0;
    const std::string words = (scratch / "words").string();
    const auto findings = stillbox::run_guarded(
        files.empty() ? std::size_t(1) << 40 : files.size(),
        [&](std::size_t i) { return reader.read(input(i), scratch.string()); }, {reader.seconds}, most,
        files.empty() ? seconds : 0, &done, words.c_str());
    fmt::print("{}: {} inputs, {} findings\n", reader.name, done, findings.size());
    for (const stillbox::GuardFinding &f : findings) {
      if (files.empty()) {
        fs::create_directories(keep);
        const fs::path path = fs::path(keep) / fmt::format("{}-{}-{}", reader.name, seed, f.number);
        std::ofstream(path, std::ios::binary) << input(f.number);
        fmt::print("  {}: {}\n", path.string(), f.what);
      } else {
        fmt::print("  {}: {}\n", files[f.number], f.what);
      }
      std::fflush(stdout);
    }
    found += findings.size();
  }
  fs::remove_all(scratch);
  if (!is_known) fmt::print(stderr, "no reader is called {}\n", name);
  return found > 0 || !is_known ? 1 : 0;
}
