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
[[variant]]
name = "braced"
add = { brace = [{ name = "shelf", kind = "window", normal = "height", at = 150, thickness = 10, openings = { rim = 25 } }] }
)");
  }
  Ran run(const std::string &words, int at_once, const std::string &before = "") const {
    return ran("cd " + in_quotes(folder.string()) + " && " + before + " TMPDIR=tmp OPENBLAS_NUM_THREADS=1 " +
               STILLBOX_BINARY + " " + words + " --side-by-side " + std::to_string(at_once) + " 2>&1");
  }
  void expect_same_files(const std::string &words, std::size_t count) const {
    const Ran one = run(words + " --out one", 1), three = run(words + " --out three", 3);
    ASSERT_EQ(one.code, 0) << one.out;
    ASSERT_EQ(three.code, 0) << three.out;
    EXPECT_EQ(names_in(folder / "one"), names_in(folder / "three"));
    EXPECT_GE(names_in(folder / "one").size(), count);
    for (const std::string &name : names_in(folder / "one"))
      EXPECT_TRUE(bytes_in(folder / "one" / name) == bytes_in(folder / "three" / name)) << name;
    EXPECT_TRUE(names_in(folder / "tmp").empty());
  }
};

TEST_F(VariantsAtOnce, WriteTheBytesOfModesOneAfterTheOther) { expect_same_files("modes box.toml --check-run", 9); }

TEST_F(VariantsAtOnce, WriteTheBytesOfAReportOneAfterTheOther) { expect_same_files("report box.toml", 1); }

// The second variant's picture cannot be put where a folder is.
TEST_F(VariantsAtOnce, WriteTheBytesOfTheOthersOneAfterTheOther) {
  expect_same_files("knock box.toml --points 30", 5);
  expect_same_files("sheet box.toml --up-to 800", 4);
  expect_same_files("air box.toml", 5);
  expect_same_files("drive box.toml --points 20 --at 300", 7);
}

TEST_F(VariantsAtOnce, TellTheErrorOfOneOnce) {
  fs::create_directories(folder / "out" / "damped.svg");
  const Ran refused = run("modes box.toml --out out", 3);
  EXPECT_EQ(refused.code, 2) << refused.out;
  EXPECT_EQ(refused.out, "stillbox: cannot write out/damped.svg: Is a directory\n");
  EXPECT_FALSE(fs::exists(folder / "out" / "modes.json"));
  EXPECT_TRUE(names_in(folder / "tmp").empty());
}

}  // namespace
}  // namespace stillbox
