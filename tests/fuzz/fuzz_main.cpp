// SPDX-License-Identifier: MIT
// stillbox_fuzz: tries mutated files on the readers for as long as one likes.
//   stillbox_fuzz [--reader NAME] [--seconds N] [--seed N] [--keep FOLDER] [--most N] [--show N] [FILE ...]
// Without FILEs: N seconds of processor time (60) for each reader, or for the one named. What fails goes to FOLDER
// (findings) under a name that says reader, seed and number. With FILEs and --reader: reads these alone.
// Exit code 1 when something was found.

#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>

#include "tests/fuzz/guarded.h"
#include "tests/fuzz/readers.h"
#include "tests/fuzz/search_line.h"
#include "tests/mesh/bytes_in.h"

namespace fs = std::filesystem;

int main(int argc, char **argv) {
  std::string name;
  double seconds = 60;
  stillbox::Search search;
  std::vector<std::string> files;
  CLI::App app{"Tries mutated files on the readers."};
  app.add_option("--reader", name, "only this one");
  app.add_option("--seconds", seconds, "of processor time for each reader")->capture_default_str();
  stillbox::add_search_options(app, search);
  app.add_option("FILES", files, "read these instead of mutated ones");
  CLI11_PARSE(app, argc, argv);

  const fs::path scratch = fs::temp_directory_path() / fmt::format("stillbox-fuzz-{}", ::getpid());
  fs::create_directories(scratch);
  bool is_known = name.empty();
  std::size_t found = 0;
  for (const stillbox::FuzzedReader &reader : stillbox::fuzzed_readers()) {
    if (!name.empty() && name != reader.name) continue;
    is_known = true;
    if (search.show >= 0) {
      stillbox::FuzzRandom random = stillbox::random_of(search.seed, reader.name, std::uint64_t(search.show));
      const std::string bytes = stillbox::mutated(reader.seeds, reader.grammar, random);
      std::fwrite(bytes.data(), 1, bytes.size(), stdout);
      fs::remove_all(scratch);
      return 0;
    }
    const auto input = [&](std::size_t i) {
      if (!files.empty()) return stillbox::bytes_in(files[i]);
      stillbox::FuzzRandom random = stillbox::random_of(search.seed, reader.name, i);
      return stillbox::mutated(reader.seeds, reader.grammar, random);
    };
    std::size_t done = 0;
    const std::string words = (scratch / "words").string();
    const auto findings = stillbox::run_guarded(
        files.empty() ? std::size_t(1) << 40 : files.size(),
        [&](std::size_t i) { return reader.read(input(i), scratch.string()); }, {reader.seconds}, search.most,
        files.empty() ? seconds : 0, &done, words.c_str());
    fmt::print("{}: {} inputs, {} findings\n", reader.name, done, findings.size());
    for (const stillbox::GuardFinding &f : findings) {
      if (files.empty()) {
        const std::string file = fmt::format("{}-{}-{}", reader.name, search.seed, f.number);
        fmt::print("  {}: {}\n", stillbox::keep_finding(search, file, input(f.number)), f.what);
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
