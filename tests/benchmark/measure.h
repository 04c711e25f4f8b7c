// SPDX-License-Identifier: MIT
#pragma once
#include <filesystem>
#include <functional>
#include <string>

#include "tests/benchmark/bars.h"
#include "tests/benchmark/plan.h"

namespace stillbox {

struct Programs {
  std::string stillbox, part;  ///< paths of the two programs that are started
};

/// Does all runs of a plan as child processes, one after the other, each `repeats` times; the one of them whose whole
/// time is in the middle counts (of two the longer one). What fails is in the rows' `failure`. Files are written below
/// `folder`. `say` is told of each step.
SuiteFigures measure(const Plan &plan, const Programs &programs, int repeats, const std::filesystem::path &folder,
                     const std::function<void(const std::string &)> &say);

}  // namespace stillbox
