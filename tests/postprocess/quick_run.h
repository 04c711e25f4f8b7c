// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>

#include <sstream>
#include <string>

#include "postprocess/commands.h"

namespace stillbox {

/// Options for a command whose figures only have to be there: large elements of low degree.
inline RunOptions quick_run(double up_to, const std::string &out = "") {
  RunOptions options;
  options.up_to = up_to;
  options.fineness = 0.5;
  options.degree = 2;
  options.out = out;
  return options;
}

/// No line of a printed text is longer than a terminal is mostly wide.
inline void expect_narrow(const std::string &text, std::size_t most = 110) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), most) << line;
}

}  // namespace stillbox
