// SPDX-License-Identifier: MIT
// `modes` by two processes of mpirun: the same answer as by one, to 1e-6, or a refusal.
#include <tuple>

#include "tests/hostile/limited.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"
#include "tests/whole/alike.h"

namespace stillbox {
namespace {

struct SeveralProcesses : OwnFolder {
  Ran run(int processes, const std::string &words) const {
    // Root is refused by mpirun unless it is told twice; there may be fewer processors than processes. An environment
    // of its own: MPI leaves variables in that of a process that has used it, as other suites have.
    const std::string start =
        processes == 0 ? ""
                       : "OMPI_ALLOW_RUN_AS_ROOT=1 OMPI_ALLOW_RUN_AS_ROOT_CONFIRM=1 OMPI_MCA_mpi_yield_when_idle=1 "
                         "mpirun --oversubscribe --bind-to none -n " +
                             std::to_string(processes) + " ";
    return ran("cd " + in_quotes(folder.string()) +
               " && env -i PATH=\"$PATH\" HOME=\"$HOME\" TMPDIR=" + in_quotes((folder / "tmp").string()) +
               " OPENBLAS_NUM_THREADS=1 " + start + STILLBOX_BINARY + " " + words);
  }
  /// `all`: every figure and text; otherwise frequencies and loss factors only.
  void expect_alike(const std::string &words, bool all) const {
    const Ran one = run(0, words + " 2>&1"), two = run(2, words);
    ASSERT_EQ(one.code, 0) << one.out;
    ASSERT_EQ(two.code, 0) << two.out;
    const Json a = Json::parse(one.out), b = Json::parse(two.out);
    std::vector<std::string> differing;
    if (all) compare(a, b, "", differing);
    ASSERT_EQ(a["variants"].size(), b["variants"].size());
    for (std::size_t v = 0; v < a["variants"].size(); ++v) {
      const Json &first = a["variants"][v]["modes"], &second = b["variants"][v]["modes"];
      EXPECT_GE(first.size(), 3u);
      ASSERT_EQ(first.size(), second.size());
      for (std::size_t i = 0; i < first.size(); ++i)
        for (const char *key : {"frequency_hz", "loss_factor"})
          compare(first[i][key], second[i][key], key + std::to_string(i), differing);
    }
    for (const std::string &line : differing) ADD_FAILURE() << line;
  }
};

// All that is fixed to boards: a rigid basket, a driver's rim, masses, feet, a bond; a sheet; invented.
TEST_F(SeveralProcesses, FindTheModesOfOneInACabinetWithAllThatCanBeFixedToIt) {
  put("box.toml", coarse_box(800) + R"([[cut_out]]
name = "low"
on = "baffle"
shape = "round"
centre = [75, 80]
diameter = 80
[[cut_out]]
name = "high"
on = "back"
shape = "rectangle"
centre = [75, 100]
size = [40, 40]
[[driver]]
cut_out = "low"
mass_kg = 0.7
mounting = "rigid basket"
centre_of_gravity_behind_face = 20
[[driver]]
cut_out = "high"
mass_kg = 0.1
[[mass]]
name = "weight"
on = "bottom"
area = { centre = [65, 65], size = [50, 50] }
mass_kg = 0.2
[[mass]]
name = "nut"
on = "top"
at = [60, 50]
mass_kg = 0.05
[[sheet]]
name = "felt"
on = ["left"]
material = "bitumen-sheet"
thickness = 2
[[brace]]
name = "ring"
kind = "window"
normal = "height"
at = 160
thickness = 8
openings = { rim = 25 }
[[bond]]
name = "seal"
of = "ring"
kind = "gasketed"
normal_stiffness_mn_m2 = 400
shear_stiffness_mn_m2 = 150
loss_factor = 0.05
[[foot]]
on = "bottom"
at = [25, 30]
stiffness_n_m = 400000
[[foot]]
on = "bottom"
at = [120, 100]
stiffness_n_m = 300000
)");
  expect_alike("modes box.toml --json --damping energy", true);
}

// A square plate has pairs of equal frequencies, whose shapes may be turned any way, and held edges take unknowns away;
// the complex problem is the first process's.
TEST_F(SeveralProcesses, FindPairsOfEqualFrequenciesAndHeldEdges) {
  put("plates.toml", R"(name = "plates"
base_name = "free"
up_to_hz = 1500
[mesh]
degree = 3
fineness = 0.5
[[board]]
name = "plate"
size = [200, 200]
thickness = 4
material = "mdf"
[[variant]]
name = "clamped"
add = { edge_support = [{ on = "plate", kind = "clamped" }] }
)");
  expect_alike("modes plates.toml --json --damping exact", false);
}

TEST_F(SeveralProcesses, WriteTheSameFiles) {
  put("strip.toml", R"(name = "strip"
up_to_hz = 1500
[mesh]
degree = 2
[[board]]
name = "strip"
size = [300, 40]
thickness = 12
material = "mdf"
)");
  ASSERT_EQ(run(0, "modes strip.toml --out one 2>&1").code, 0);
  ASSERT_EQ(run(2, "modes strip.toml --out two --check-run").code, 0);
  EXPECT_EQ(names_in(folder / "one"), names_in(folder / "two"));
  for (const std::string &name : names_in(folder / "tmp"))  // mpirun leaves a folder of its own
    EXPECT_EQ(name.find("stillbox"), std::string::npos) << name;
}

TEST_F(SeveralProcesses, RefuseWhatOneProcessDoes) {
  put("bad.toml", box + "[mesh]\ndegree = 12\n");
  put("good.toml", box);
  const std::string tapered = STILLBOX_SOURCE_DIR "/cases/tapered-monitor.toml";
  for (const auto &[words, part, code] : std::vector<std::tuple<std::string, std::string, int>>{
           {"check good.toml", "check runs in one process", 2},
           {"modes bad.toml", "degree", 2},
           {"modes good.toml --variant nobody", "nobody", 2},
           {"modes good.toml --degree 9", "--degree", 2},
           {"modes good.toml --out bad.toml/out", "cannot write", 2},
           {"modes " + tapered + " --fineness 0.5", "solved by one process", 2}}) {
    const Ran refused = run(2, words + " 2>&1");
    SCOPED_TRACE(words + ": " + refused.out);
    EXPECT_EQ(refused.code, code);
    const auto at = refused.out.find(part);
    ASSERT_NE(at, std::string::npos);
    // Said once, not by each process.
    const std::string line = refused.out.substr(refused.out.rfind('\n', at) + 1, 60);
    EXPECT_EQ(refused.out.find(line, at + 1), std::string::npos);
  }
}

}  // namespace
}  // namespace stillbox
