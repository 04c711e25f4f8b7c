// SPDX-License-Identifier: MIT
#include "tests/benchmark/measure.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "tests/benchmark/child_run.h"
#include "tests/benchmark/figures_json.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;

ChildRun run_well(const std::vector<std::string> &words, int threads, const fs::path &folder) {
  ChildRun run = run_child(words, threads, folder);
  if (run.code != 0) throw std::runtime_error(fmt::format("exit code {}: {}", run.code, run.err));
  return run;
}

RunFigures measure_run(const PlannedRun &planned, const Programs &programs, const fs::path &folder) {
  RunFigures row;
  row.group = planned.group;
  row.name = planned.name;
  row.up_to = planned.up_to;
  row.fineness = planned.fineness;
  row.degree = planned.degree;
  row.threads = planned.threads;
  try {
    const fs::path out = folder / "files";
    std::vector<std::string> words{programs.stillbox,
                                   "modes",
                                   planned.case_path,
                                   "--up-to",
                                   fmt::format("{}", planned.up_to),
                                   "--fineness",
                                   fmt::format("{}", planned.fineness),
                                   "--degree",
                                   fmt::format("{}", planned.degree),
                                   "--times",
                                   "--json",
                                   "--out",
                                   out.string()};
    for (const std::string &variant : planned.variants) {
      words.push_back("--variant");
      words.push_back(variant);
    }
    const ChildRun run = run_well(words, planned.threads, folder);
    fs::remove_all(out);
    read_modes_json(run.out, row);
    row.whole = run.seconds;
    row.processor = run.processor_seconds;
    row.peak = run.peak;
  } catch (const std::exception &error) {
    row.failure = error.what();
  }
  return row;
}

// The one in the middle by the whole time; a failed one counts when any failed.
RunFigures middle_of(std::vector<RunFigures> tries) {
  for (const RunFigures &row : tries)
    if (!row.failure.empty()) return row;
  std::sort(tries.begin(), tries.end(), [](const RunFigures &a, const RunFigures &b) { return a.whole < b.whole; });
  return tries[tries.size() / 2];
}

std::vector<RunFigures> measure_modes(const PlannedModes &planned, const Programs &programs, const fs::path &folder) {
  std::vector<std::string> words{programs.part,
                                 "modes",
                                 planned.case_path,
                                 planned.variant,
                                 fmt::format("{}", planned.mesh_up_to),
                                 fmt::format("{}", planned.fineness),
                                 fmt::format("{}", planned.degree)};
  for (const double up_to : planned.up_to) words.push_back(fmt::format("{}", up_to));
  std::vector<RunFigures> rows;
  try {
    rows = rows_from_json(run_well(words, 1, folder).out);
  } catch (const std::exception &error) {
    rows.assign(1, {});
    rows.front().group = RowGroup::modes;
    rows.front().failure = error.what();
  }
  for (RunFigures &row : rows) row.name = planned.name;
  return rows;
}

SolveBounds measure_bounds(const PlannedBounds &planned, int threads, const Programs &programs,
                           const fs::path &folder) {
  SolveBounds bounds;
  try {
    bounds = bounds_from_json(
        run_well({programs.part, "bounds", planned.case_path, planned.variant, fmt::format("{}", planned.up_to),
                  fmt::format("{}", planned.fineness), fmt::format("{}", planned.degree)},
                 threads, folder)
            .out);
  } catch (const std::exception &error) {
    bounds.failure = error.what();
  }
  bounds.threads = threads;
  return bounds;
}

}  // namespace

SuiteFigures measure(const Plan &plan, const Programs &programs, int repeats, const fs::path &folder,
                     const std::function<void(const std::string &)> &say) {
  SuiteFigures suite;
  suite.small = plan.small;
  const auto add_modes = [&] {
    say(fmt::format("modes on one mesh: {}", plan.modes.name));
    for (const RunFigures &row : measure_modes(plan.modes, programs, folder)) suite.rows.push_back(row);
  };
  bool has_modes = false;
  for (std::size_t i = 0; i < plan.runs.size(); ++i) {
    const PlannedRun &planned = plan.runs[i];
    if (planned.group == RowGroup::variants && !has_modes) {
      add_modes();
      has_modes = true;
    }
    std::vector<RunFigures> tries;
    for (int k = 0; k < repeats; ++k) {
      say(fmt::format("run {} of {}: {}, fineness {:g}, threads: {}", i + 1, plan.runs.size(), planned.name,
                      planned.fineness, planned.threads));
      tries.push_back(measure_run(planned, programs, folder));
    }
    suite.rows.push_back(middle_of(tries));
  }
  if (!has_modes) add_modes();
  for (const int threads : plan.bounds.threads) {
    say(fmt::format("bounds, threads: {}", threads));
    suite.bounds.push_back(measure_bounds(plan.bounds, threads, programs, folder));
  }
  return suite;
}

}  // namespace stillbox
