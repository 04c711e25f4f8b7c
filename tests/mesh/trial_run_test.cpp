// SPDX-License-Identifier: MIT
#include "mesh/trial_run.h"

#include <gtest/gtest.h>

#include <cstdio>
#include <cstdlib>
#include <stdexcept>

namespace stillbox {
namespace {

TEST(TrialRun, TellsWhatEndsFromWhatBreaks) {
  int touched = 0;
  EXPECT_TRUE(trial_run([&] { touched = 1; }, 10).survived);
  EXPECT_EQ(touched, 0);  // it was another process
  EXPECT_TRUE(trial_run([] { throw std::runtime_error("refused"); }, 10).survived);
  const TrialRun broken = trial_run([] { std::abort(); }, 10);
  EXPECT_FALSE(broken.survived);
  EXPECT_NE(broken.how.find("breaks the reader"), std::string::npos) << broken.how;
  const TrialRun endless = trial_run(
      [] {
        for (volatile unsigned n = 0;;) n = n + 1;
      },
      1);
  EXPECT_FALSE(endless.survived);
  EXPECT_NE(endless.how.find("1 s of processor time"), std::string::npos) << endless.how;
  EXPECT_FALSE(trial_run([] { std::_Exit(3); }, 10).survived);
}

TEST(TrialRun, IsSilentAndPrintsNothingTwice) {
  testing::internal::CaptureStdout();
  std::printf("before ");
  trial_run([] { std::printf("within "); }, 10);
  std::printf("after");
  std::fflush(stdout);
  EXPECT_EQ(testing::internal::GetCapturedStdout(), "before after");
}

}  // namespace
}  // namespace stillbox
