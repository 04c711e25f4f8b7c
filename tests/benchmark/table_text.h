// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/benchmark/bars.h"

namespace stillbox {

/// The table of all rows, and below it the bounds, the exponents, the bars and what failed.
std::string suite_table(const SuiteFigures &suite, const std::vector<NamedFit> &fits, const std::vector<Bar> &bars);

}  // namespace stillbox
