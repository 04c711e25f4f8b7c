// SPDX-License-Identifier: MIT
#include "postprocess/progress.h"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <cstdlib>
#include <string>

namespace stillbox {
namespace {

std::string read_some(int descriptor) {
  ::fcntl(descriptor, F_SETFL, O_NONBLOCK);
  std::array<char, 4096> buffer{};
  const ssize_t got = ::read(descriptor, buffer.data(), buffer.size());
  return got > 0 ? std::string(buffer.data(), static_cast<std::size_t>(got)) : "";
}

TEST(Progress, IsSilentInAPipe) {
  std::array<int, 2> ends{};
  ASSERT_EQ(::pipe(ends.data()), 0);
  {
    const ProgressLine line(ends[1]);
    show_progress(line, "factorising");
    wipe_progress(line);
  }
  EXPECT_EQ(read_some(ends[0]), "");
  ::close(ends[0]);
  ::close(ends[1]);
}

struct Terminal : testing::Test {
  int ours = -1, theirs = -1;
  void SetUp() override {
    ours = ::posix_openpt(O_RDWR | O_NOCTTY);
    ASSERT_GE(ours, 0);
    ASSERT_EQ(::grantpt(ours), 0);
    ASSERT_EQ(::unlockpt(ours), 0);
    theirs = ::open(::ptsname(ours), O_RDWR | O_NOCTTY);
    ASSERT_GE(theirs, 0);
  }
  void TearDown() override {
    ::close(theirs);
    ::close(ours);
  }
};

TEST_F(Terminal, ShowsAndWipesOneLine) {
  ::setenv("TERM", "xterm", 1);
  {
    const ProgressLine line(theirs);
    show_progress(line, "factorising\n" + std::string(200, 'x'));
    const std::string shown = read_some(ours);
    EXPECT_EQ(shown.find("\rfactorising x"), 0u);
    EXPECT_EQ(shown.find('\n'), std::string::npos);
    EXPECT_LT(shown.size(), 90u);
  }
  EXPECT_EQ(read_some(ours), "\r\x1b[K");
}

TEST_F(Terminal, DumbTerminalIsSpared) {
  ::setenv("TERM", "dumb", 1);
  {
    const ProgressLine line(theirs);
    show_progress(line, "factorising");
  }
  EXPECT_EQ(read_some(ours), "");
}

}  // namespace
}  // namespace stillbox
