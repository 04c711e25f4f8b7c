// SPDX-License-Identifier: MIT
// stillbox_benchmark_table: runs the program on plate, stand-mount, floor-stander and a 2 m cabinet, over unknowns,
// modes, threads and variants, and prints where time and memory go, how they grow, and the bars.
//   stillbox_benchmark_table [--quick] [--repeats N] [--json FILE]
// Takes a good part of an hour on a machine with nothing else to do; --quick tries the suite on small sizes in seconds.
// Exit code: 1 when a run failed, 2 for a wrong command line. Bars that are not met are printed, and no failure.
#include <fmt/format.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <exception>
#include <fstream>
#include <stdexcept>

#include "tests/benchmark/figures_json.h"
#include "tests/benchmark/measure.h"
#include "tests/benchmark/table_text.h"

namespace {

namespace fs = std::filesystem;
using namespace stillbox;

struct Words {
  bool quick = false;
  int repeats = 1;
  std::string json;
};

bool read_words(int argc, char **argv, Words &words) {
  for (int i = 1; i < argc; ++i) {
    const std::string word = argv[i];
    if (word == "--quick") {
      words.quick = true;
    } else if (word == "--repeats" && i + 1 < argc) {
      words.repeats = std::atoi(argv[++i]);
      if (words.repeats < 1 || words.repeats > 100) return false;
    } else if (word == "--json" && i + 1 < argc) {
      words.json = argv[++i];
    } else {
      return false;
    }
  }
  return true;
}

struct OwnFolder {
  fs::path path;
  OwnFolder() {
    std::string pattern = (fs::temp_directory_path() / "stillbox-benchmark-XXXXXX").string();
    if (!::mkdtemp(pattern.data())) throw std::runtime_error("no folder can be made in TMPDIR");
    path = pattern;
  }
  ~OwnFolder() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
  OwnFolder(const OwnFolder &) = delete;
  OwnFolder &operator=(const OwnFolder &) = delete;
};

}  // namespace

int main(int argc, char **argv) {
  Words words;
  if (!read_words(argc, argv, words)) {
    std::fputs("usage: stillbox_benchmark_table [--quick] [--repeats 1..100] [--json FILE]\n", stderr);
    return 2;
  }
  try {
    std::ofstream json;
    if (!words.json.empty()) {
      json.open(words.json);
      if (!json) {  // found out now, not in an hour
        fmt::print(stderr, "{} cannot be written; name a file in a folder that is there\n", words.json);
        return 2;
      }
    }
    const std::string source = STILLBOX_SOURCE_DIR, cases = source + "/cases", benchmark = source + "/tests/benchmark";
    const Plan plan = words.quick ? quick_plan(cases, benchmark) : whole_plan(cases, benchmark);
    const OwnFolder folder;
    const SuiteFigures suite = measure(plan, {STILLBOX_BINARY, STILLBOX_BENCHMARK_PART}, words.repeats, folder.path,
                                       [](const std::string &step) { fmt::print(stderr, "{}\n", step); });
    const std::vector<NamedFit> fits = fits_of(suite);
    const std::vector<Bar> bars = bars_of(suite, fits);
    fmt::print("{}", suite_table(suite, fits, bars));
    if (json.is_open() && !(json << suite_to_json(suite, fits, bars) << std::flush))
      throw std::runtime_error(words.json + " cannot be written");
    for (const RunFigures &row : suite.rows)
      if (!row.failure.empty()) return 1;
    for (const SolveBounds &b : suite.bounds)
      if (!b.failure.empty()) return 1;
    return 0;
  } catch (const std::exception &error) {
    fmt::print(stderr, "{}\n", error.what());
    return 1;
  }
}
