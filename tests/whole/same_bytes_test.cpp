// SPDX-License-Identifier: MIT
// The same input gives the same bytes, and on other numbers of threads the same answer up to rounding.

#include "tests/hostile/limited.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"
#include "tests/whole/alike.h"

namespace stillbox {
namespace {

struct SameBytes : OwnFolder {
  // Symmetric, so that opposite walls move alike and modes come in mirror pairs; invented.
  void SetUp() override {
    OwnFolder::SetUp();
    put("box.toml", coarse_box(1000) + R"([[sheet]]
name = "felt"
on = ["left", "right"]
material = "bitumen-sheet"
thickness = 2
)");
  }
  std::string modes(const std::string &before) const {
    const Ran run = ran("cd " + in_quotes(folder.string()) + " && TMPDIR=tmp " + before + " " + STILLBOX_BINARY +
                        " modes box.toml --json 2>&1");
    EXPECT_EQ(run.code, 0) << run.out;
    return run.out;
  }
};

TEST_F(SameBytes, OfTwoRunsAlike) {
  const std::string first = modes("OPENBLAS_NUM_THREADS=1");
  EXPECT_EQ(modes("OPENBLAS_NUM_THREADS=1"), first);
  ASSERT_GE(Json::parse(first)["variants"][0]["modes"].size(), 4u);
}

TEST_F(SameBytes, UpToRoundingOnOtherThreadsAndKernels) {
  const Json one = Json::parse(modes("OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1"));
  for (const char *threads :
       {"OPENBLAS_NUM_THREADS=2 OMP_NUM_THREADS=2", "taskset -c 0", "OPENBLAS_CORETYPE=Nehalem"}) {
    const Json other = Json::parse(modes(threads));
    std::vector<std::string> differing;
    compare(one, other, "", differing);
    for (const std::string &line : differing) ADD_FAILURE() << threads << ": " << line;
  }
}

TEST(SameBytesCheck, SeesWhatDiffers) {  // or the tests above could not fail
  const Json a = {{"text", "left+right"}, {"figure", 100.0}, {"count", 3}, {"residual", 1e-12}};
  Json b = a;
  std::vector<std::string> differing;
  b["residual"] = 5e-12;
  b["figure"] = 100.00001;
  compare(a, b, "", differing);
  EXPECT_TRUE(differing.empty());
  b["text"] = "right+left";
  b["figure"] = 100.001;
  b["count"] = 4;
  compare(a, b, "", differing);
  EXPECT_EQ(differing.size(), 3u);
}

}  // namespace
}  // namespace stillbox
