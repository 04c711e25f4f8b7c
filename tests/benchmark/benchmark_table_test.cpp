// SPDX-License-Identifier: MIT
// The benchmark suite itself: its sums, and a try of all of it on small sizes.
#include <map>
#include <nlohmann/json.hpp>

#include "tests/benchmark/bars.h"
#include "tests/benchmark/child_run.h"
#include "tests/benchmark/plan.h"
#include "tests/benchmark/power_fit.h"
#include "tests/fuzz/guarded.h"
#include "tests/hostile/limited.h"

namespace stillbox {
namespace {

using Json = nlohmann::json;

// By hand: in powers of two the points are (0, 0), (1, log2 3), (2, 3). The slope of three even points is half the
// difference of the outer ones, 1.5; the squares of what is left sum to (log2 3 - 1.5)^2 2 / 3, over one degree of
// freedom and a spread of 2.
TEST(BenchmarkFit, ThreePointsByHand) {
  const PowerFit fit = fit_power({1, 2, 4}, {1, 3, 8});
  EXPECT_EQ(fit.points, 3);
  EXPECT_NEAR(fit.exponent, 1.5, 1e-12);
  EXPECT_NEAR(fit.factor, std::exp2((std::log2(3) - 1.5) / 3), 1e-12);
  EXPECT_NEAR(fit.exponent_error, (std::log2(3) - 1.5) / std::sqrt(3.0), 1e-12);
}

TEST(BenchmarkFit, LeavesOutWhatWasNotMeasured) {
  const PowerFit fit = fit_power(
      {10, 20, 40, 80, 0}, {3 * std::pow(10, 1.4), not_measured, 3 * std::pow(40, 1.4), 3 * std::pow(80, 1.4), 1});
  EXPECT_EQ(fit.points, 3);
  EXPECT_NEAR(fit.exponent, 1.4, 1e-12);
  EXPECT_NEAR(fit.factor, 3, 1e-9);
  EXPECT_TRUE(std::isnan(fit_power({5, 5}, {1, 2}).exponent));
  EXPECT_TRUE(std::isnan(fit_power({5}, {1}).exponent));
}

RunFigures row(RowGroup group, const char *name, long dofs, double whole, double peak) {
  RunFigures r;
  r.group = group;
  r.name = name;
  r.dofs = dofs;
  r.whole = r.processor = whole;
  r.peak = peak;
  return r;
}

const Bar &bar_with(const std::vector<Bar> &bars, const std::string &part) {
  for (const Bar &bar : bars)
    if (bar.text.find(part) != std::string::npos) return bar;
  throw std::out_of_range(part);
}

// Round figures: a factorisation of 2 s and blocked solves of 3 s bound a run of 11 s; four variants of 10 + 3 * 5 s.
SuiteFigures round_suite() {
  SuiteFigures suite;
  suite.rows = {row(RowGroup::cases, stand_mount_row, 200000, 11, 900),
                row(RowGroup::cases, floor_stander_row, 300000, 60, 1500),
                row(RowGroup::unknowns, stand_mount_row, 100000, 10, 500),
                row(RowGroup::unknowns, stand_mount_row, 400000, 80, 2000),
                row(RowGroup::variants, variant_rows[0].first, 100000, 10, 500),
                row(RowGroup::variants, variant_rows[0].all, 400000, 25, 500)};
  suite.rows.back().variants = 4;
  SolveBounds bounds;
  bounds.dofs = 200000;
  bounds.factors = {{"as it is", {3, 3}, {9, 9}, {4, 4}, 1e9}, {"condensed", {2, 2}, {9, 9}, {3, 3}, 1e9}};
  suite.bounds = {bounds};
  return suite;
}

TEST(BenchmarkBars, JudgedByHand) {
  SuiteFigures suite = round_suite();
  const std::vector<Bar> bars = bars_of(suite, fits_of(suite));
  EXPECT_DOUBLE_EQ(bar_with(bars, "whole run").value, 11.0 / 5);
  EXPECT_EQ(bar_with(bars, "whole run").verdict(), "not met");
  EXPECT_DOUBLE_EQ(bar_with(bars, "later variants").value, 0.5);
  EXPECT_EQ(bar_with(bars, "later variants").verdict(), "met");
  EXPECT_EQ(bar_with(bars, "to 1 kHz").verdict(), "met");
  EXPECT_EQ(bar_with(bars, "500 000").verdict(), "not measured");
  EXPECT_NEAR(bar_with(bars, "exponent").value, 1.5, 1e-12);  // eight times the time for four times the unknowns
  suite.rows.push_back(row(RowGroup::unknowns, stand_mount_row, 600000, 200, 8200));
  suite.small = false;
  EXPECT_EQ(bar_with(bars_of(suite, fits_of(suite)), "500 000").verdict(), "not met");
  suite.bounds[0].dofs = 200001;  // of another matrix
  EXPECT_EQ(bar_with(bars_of(suite, fits_of(suite)), "whole run").verdict(), "not measured");
  suite.rows.back().failure = "no room";
  EXPECT_EQ(bar_with(bars_of(suite, fits_of(suite)), "500 000").verdict(), "not measured");
  suite.small = true;
  EXPECT_EQ(bar_with(bars_of(suite, fits_of(suite)), "whole run").verdict(), "small sizes");
}

// Sleeps and counts in a shell: the clock goes on while the processor rests.
TEST(BenchmarkChild, TimesThreadsAndWords) {
  const fs::path folder = fs::temp_directory_path() / ("stillbox-child-" + std::to_string(::getpid()));
  fs::create_directory(folder);
  const ChildRun run =
      run_child({"/bin/sh", "-c", "sleep 0.2; echo $OPENBLAS_NUM_THREADS; nproc; echo why >&2; exit 3"}, 1, folder);
  EXPECT_EQ(run.code, 3);
  EXPECT_EQ(run.out, "1\n1\n");
  EXPECT_EQ(run.err, "why\n");
  EXPECT_GE(run.seconds, 0.2);
  EXPECT_LT(run.processor_seconds, 0.2);
  EXPECT_EQ(run_child({"/no/such/program"}, 1, folder).code, 127);
  EXPECT_THROW(run_child({"/bin/true"}, 1 << 20, folder), std::runtime_error);
  fs::remove_all(folder);
}

// `tail` keeps a line until it ends: 400 MiB in a process below the child. (This process holds less, see run_child.)
TEST(BenchmarkChild, PeakOfTheLargestProcess) {
  const fs::path folder = fs::temp_directory_path() / ("stillbox-child-" + std::to_string(::getpid()));
  fs::create_directory(folder);
  const ChildRun run = run_child({"/bin/sh", "-c", "head -c 400M /dev/zero | tail | wc -c"}, 1, folder);
  EXPECT_EQ(run.out, "419430400\n");
  EXPECT_GT(run.peak, 400);
  EXPECT_LT(run.peak, has_sanitizer() ? 3000 : 480);
  fs::remove_all(folder);
}

struct BenchmarkTable : OwnFolder {};

TEST_F(BenchmarkTable, AllOfItOnSmallSizes) {
  const std::string file = (folder / "figures.json").string();
  ::setenv("TMPDIR", (folder / "tmp").c_str(), 1);
  const ChildRun run = run_child({STILLBOX_BENCHMARK_TABLE, "--quick", "--json", file},
                                 std::min<int>(2, int(own_processors().size())), folder);
  ::unsetenv("TMPDIR");
  const bool two = own_processors().size() >= 2;
  ASSERT_EQ(run.code, two ? 0 : 1) << run.err << run.out;  // with one processor the row of two threads fails
  EXPECT_EQ(names_in(folder / "tmp"), std::vector<std::string>());
  const Json suite = Json::parse(bytes_in(file));
  const Plan plan = quick_plan("", "");
  ASSERT_EQ(suite.at("rows").size(), plan.runs.size() + plan.modes.up_to.size());
  std::map<std::string, int> named, printed;
  for (const Json &r : suite.at("rows")) {
    const std::string name = r.at("name");
    SCOPED_TRACE(r.dump());
    ++named[name];
    if (r.at("threads") == 2 && !two) continue;
    ASSERT_EQ(r.at("failure"), "");
    EXPECT_GT(r.at("unknowns"), 100);
    EXPECT_GT(r.at("peak_mib"), 50);
    EXPECT_GT(r.at("processor_s"), 0);
    double phases = 0;
    for (const char *phase : {"mesh_s", "assembly_s", "factorisation_s", "eigen_s", "post_processing_s"}) {
      EXPECT_GE(r.at(phase), 0) << phase;
      phases += r.at(phase).get<double>();
    }
    if (r.at("group") == "modes") continue;
    EXPECT_GT(r.at("files_s"), 0);
    if (r.at("variants") == 1) {
      EXPECT_LE(phases + r.at("files_s").get<double>(), r.at("whole_s").get<double>());
    }
  }
  std::istringstream text(run.out);
  for (std::string line; std::getline(text, line) && line.find("Times in s") != 0;)
    for (const auto &[name, count] : named) printed[name] += line.find(name + "  ") == 0;
  EXPECT_EQ(printed, named) << run.out;
  ASSERT_EQ(suite.at("bounds").size(), 1u);
  for (const Json &f : suite.at("bounds").at(0).at("factors")) {
    for (const char *what : {"factorisation", "one_at_a_time", "in_blocks"}) EXPECT_GT(f.at(what).at("clock_s"), 0);
    EXPECT_GT(f.at("factor_bytes"), 8 * suite.at("bounds").at(0).at("unknowns").get<long>());  // at least a diagonal
  }
  EXPECT_EQ(suite.at("fits").size(), 9u);
  for (const Json &f : suite.at("fits")) EXPECT_TRUE(f.at("exponent").is_number()) << f.dump();
  EXPECT_EQ(suite.at("bars").size(), 5u);
  for (const Json &bar : suite.at("bars")) EXPECT_EQ(bar.at("verdict"), "small sizes") << bar.dump();
}

}  // namespace
}  // namespace stillbox
