// SPDX-License-Identifier: MIT
// How long the whole run of the stand-mount cabinet with its window brace takes, from boards to files, set against one
// sparse factorisation and 60 solves with its own matrix, one at a time and in blocks of six, measured in the same
// process. The bar is a ratio of 2 to the latter.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <algorithm>
#include <filesystem>
#include <stdexcept>

#include "mesh/case_file.h"
#include "postprocess/commands.h"
#include "solver/modes.h"
#include "solver/stopwatch.h"
#include "tests/benchmark/solve_bounds.h"

namespace {

using namespace stillbox;

constexpr double up_to = 2000;  // Hz

const CaseFile &stand_mount() {
  static const CaseFile file =
      read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", STILLBOX_SOURCE_DIR "/cases/materials.toml");
  return file;
}

double peak_memory_mib() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return double(usage.ru_maxrss) / 1024;
}

double whole_run_seconds() {
  RunOptions options;
  options.variants = {"window brace"};
  options.up_to = up_to;
  options.out = (std::filesystem::temp_directory_path() / "stillbox-benchmark").string();
  Stopwatch watch;
  benchmark::DoNotOptimize(run_modes(stand_mount(), options));
  const double seconds = watch.lap();
  std::filesystem::remove_all(options.out);
  return seconds;
}

SolveBounds bounds() {
  for (const Structure &s : stand_mount().variants) {
    if (s.variant_name != "window brace") continue;
    SolveOptions options;
    options.up_to = up_to;
    return measure_solve_bounds(s, options);
  }
  throw std::runtime_error("no variant \"window brace\"");
}

void whole_run(benchmark::State &state) {
  for (auto _ : state) {
    const double run = whole_run_seconds();
    static const double memory = peak_memory_mib();  // of the first run: the bound's factor is kept in memory
    const SolveBounds bound = bounds();
    const auto with_solves = [](TwoTimes FactorBounds::*solves) {  // of the faster kind of factor
      return [solves](const FactorBounds &a, const FactorBounds &b) {
        return a.factorise.clock + (a.*solves).clock < b.factorise.clock + (b.*solves).clock;
      };
    };
    const auto &kinds = bound.factors;
    const FactorBounds &one = *std::min_element(kinds.begin(), kinds.end(), with_solves(&FactorBounds::single));
    const FactorBounds &six = *std::min_element(kinds.begin(), kinds.end(), with_solves(&FactorBounds::blocked));
    state.SetIterationTime(run);
    state.counters["factorise_s"] = six.factorise.clock;
    state.counters["solves60_s"] = one.single.clock;
    state.counters["blocked60_s"] = six.blocked.clock;
    state.counters["pass_s"] = bound.pass(six);  // a solve passes twice over the factor
    state.counters["ratio_one_by_one"] = run / (one.factorise.clock + one.single.clock);
    state.counters["ratio"] = run / (six.factorise.clock + six.blocked.clock);
    state.counters["peak_MiB"] = memory;
  }
}
BENCHMARK(whole_run)->UseManualTime()->Iterations(1)->Repetitions(3)->Unit(benchmark::kSecond);

}  // namespace

BENCHMARK_MAIN();
