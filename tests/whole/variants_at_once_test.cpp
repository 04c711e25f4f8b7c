// SPDX-License-Identifier: MIT
// Variants solved side by side in processes of their own give the bytes that they give one after the other.
#include "tests/hostile/limited.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

struct VariantsAtOnce : OwnFolder {
  void SetUp() override {
    OwnFolder::SetUp();
    put("box.toml", R"(name = "box"
base_name = "bare"
up_to_hz = 900
[mesh]
degree = 2
fineness = 0.5
[cabinet]
outer_size = { width = 150, depth = 170, height = 210 }
board = { material = "mdf", thickness = 10 }
[[cut_out]]
name = "low"
on = "baffle"
shape = "round"
centre = [75, 70]
diameter = 80
[[driver]]
cut_out = "low"
mass_kg = 0.5
moving_mass_g = 5
compliance_mm_n = 1
mechanical_q = 4
force_factor_tm = 5
coil_resistance_ohm = 6
cone_area_cm2 = 45
[[variant]]
name = "damped"
add = { sheet = [{ name = "felt", on = ["left"], material = "bitumen-sheet", thickness = 2 }] }
)");
  }
  Ran run(const std::string &words, int at_once, const std::string &before = "") const {
    return ran("cd " + in_quotes(folder.string()) + " && " + before + " TMPDIR=tmp OPENBLAS_NUM_THREADS=1 " +
               STILLBOX_BINARY + " " + words + " --side-by-side " + std::to_string(at_once) + " 2>&1");
  }
  // What is printed, and the files where there are any.
  void expect_same(const std::string &words, const std::string &folder_option = "") const {
    const bool has_files = !folder_option.empty();
    const Ran one = run(words + (has_files ? folder_option + "one" : ""), 1);
    const Ran two = run(words + (has_files ? folder_option + "two" : ""), 2);
    ASSERT_EQ(one.code, 0) << one.out;
    ASSERT_EQ(two.code, 0) << two.out;
    EXPECT_TRUE(names_in(folder / "tmp").empty());
    if (!has_files) {
      EXPECT_GT(one.out.size(), 1000u);
      EXPECT_TRUE(one.out == two.out) << words;
      return;
    }
    EXPECT_EQ(names_in(folder / "one"), names_in(folder / "two"));
    for (const std::string &name : names_in(folder / "one"))
      EXPECT_TRUE(bytes_in(folder / "one" / name) == bytes_in(folder / "two" / name)) << name;
  }
};

TEST_F(VariantsAtOnce, WriteTheFilesOfModesOneAfterTheOther) {
  expect_same("modes box.toml", " --out ");
  EXPECT_EQ(names_in(folder / "two"), (std::vector<std::string>{"bare.svg", "bare.vtu", "damped.svg", "damped.vtu",
                                                                "modes.csv", "modes.json", "modes.pvd"}));
}

TEST_F(VariantsAtOnce, WriteTheReportOfOneAfterTheOther) { expect_same("report box.toml", " --out "); }

TEST_F(VariantsAtOnce, PrintTheFiguresOfOneAfterTheOther) {
  expect_same("sheet box.toml --json");
  expect_same("air box.toml --json --up-to 300");
  expect_same("drive box.toml --json --frequencies 20 --up-to 200");
}

// The second variant's picture cannot be put where a folder is.
TEST_F(VariantsAtOnce, TellTheErrorOfOneOnce) {
  fs::create_directories(folder / "out" / "damped.svg");
  const Ran refused = run("modes box.toml --out out", 2);
  EXPECT_EQ(refused.code, 2) << refused.out;
  EXPECT_EQ(refused.out, "stillbox: cannot write out/damped.svg: Is a directory\n");
  EXPECT_FALSE(fs::exists(folder / "out" / "modes.json"));
  EXPECT_TRUE(names_in(folder / "tmp").empty());
}

}  // namespace
}  // namespace stillbox
