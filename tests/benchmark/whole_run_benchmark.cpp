// SPDX-License-Identifier: MIT
// How long the whole run of the stand-mount cabinet with its window brace takes, from boards to files, set against one
// sparse factorisation and 60 solves with its own matrix, measured in the same process. The bar is a ratio of 3.
#include <benchmark/benchmark.h>
#include <sys/resource.h>

#include <filesystem>
#include <random>

#include "mesh/case_file.h"
#include "postprocess/commands.h"
#include "solver/modes.h"
#include "solver/stopwatch.h"

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

struct Bound {
  double factorise = 0, solve60 = 0;
};

Bound bound_seconds() {
  const Structure *structure = nullptr;
  for (const Structure &s : stand_mount().variants)
    if (s.variant_name == "window brace") structure = &s;
  SolveOptions options;
  options.up_to = up_to;
  SolveReport report;
  const Model m = build_model(*structure, options, report);
  const double omega = 2 * 3.141592653589793 * up_to;
  SparseMatrix shifted = m.system.stiffness - SparseMatrix(m.system.mass * (omega * omega));
  const std::vector<int> order = dissection_order(m.system, m.unknowns.block_start, m.unknowns.count);
  Bound bound;
  Stopwatch watch;
  const SparseFactor factor(shifted, order, {}, false);
  bound.factorise = watch.lap();
  std::mt19937 random(1);
  std::normal_distribution<double> normal;
  Eigen::MatrixXd x(m.unknowns.count, 1);
  for (Eigen::Index i = 0; i < x.size(); ++i) x(i, 0) = normal(random);
  watch.lap();
  for (int i = 0; i < 60; ++i) {
    factor.solve(x);
    x /= x.norm();
  }
  bound.solve60 = watch.lap();
  return bound;
}

void whole_run(benchmark::State &state) {
  for (auto _ : state) {
    const double run = whole_run_seconds();
    static const double memory = peak_memory_mib();  // of the first run: the bound's factor is kept in memory
    const Bound bound = bound_seconds();
    state.SetIterationTime(run);
    state.counters["factorise_s"] = bound.factorise;
    state.counters["solves60_s"] = bound.solve60;
    state.counters["ratio"] = run / (bound.factorise + bound.solve60);
    state.counters["peak_MiB"] = memory;
  }
}
BENCHMARK(whole_run)->UseManualTime()->Iterations(1)->Repetitions(3)->Unit(benchmark::kSecond);

}  // namespace

BENCHMARK_MAIN();
