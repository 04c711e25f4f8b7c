// SPDX-License-Identifier: MIT
// The same input gives the same bytes, and on other numbers of threads the same answer up to rounding.
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/hostile/limited.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

using Json = nlohmann::json;

struct SameBytes : OwnFolder {
  // Symmetric, so that opposite walls move alike and modes come in mirror pairs; invented.
  void SetUp() override {
    OwnFolder::SetUp();
    put("box.toml", R"(name = "box"
up_to_hz = 1000
[mesh]
degree = 2
fineness = 0.5
[cabinet]
outer_size = { width = 150, depth = 170, height = 210 }
board = { material = "mdf", thickness = 10 }
[[sheet]]
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

// What differs beyond rounding: texts, counts, figures by more than 1e-6 of themselves (and 1e-9 where they are near
// 0). Residuals are rounding itself.
void compare(const Json &a, const Json &b, const std::string &path, std::vector<std::string> &differing) {
  if (path.find("residual") != std::string::npos || path.find("seconds") != std::string::npos) return;
  if (a.is_object() && b.is_object()) {
    if (a.size() != b.size()) differing.push_back(path + ": keys");
    for (const auto &[key, value] : a.items()) {
      if (b.contains(key))
        compare(value, b[key], path + "." + key, differing);
      else
        differing.push_back(path + "." + key + ": missing");
    }
  } else if (a.is_array() && b.is_array()) {
    if (a.size() != b.size()) differing.push_back(path + ": length");
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i)
      compare(a[i], b[i], path + "[" + std::to_string(i) + "]", differing);
  } else if (a.is_number_float() && b.is_number()) {
    const double x = a.get<double>(), y = b.get<double>();
    if (!(std::abs(x - y) <= 1e-6 * std::max(std::abs(x), std::abs(y)) + 1e-9))
      differing.push_back(path + ": " + a.dump() + ", " + b.dump());
  } else if (a != b) {
    differing.push_back(path + ": " + a.dump() + ", " + b.dump());
  }
}

TEST_F(SameBytes, OfTwoRunsAlike) {
  const std::string first = modes("OPENBLAS_NUM_THREADS=1");
  EXPECT_EQ(modes("OPENBLAS_NUM_THREADS=1"), first);
  ASSERT_GE(Json::parse(first)["variants"][0]["modes"].size(), 4u);
}

TEST_F(SameBytes, UpToRoundingOnOneAndTwoThreads) {
  const Json one = Json::parse(modes("OPENBLAS_NUM_THREADS=1 OMP_NUM_THREADS=1"));
  for (const char *threads : {"OPENBLAS_NUM_THREADS=2 OMP_NUM_THREADS=2", "taskset -c 0"}) {
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
