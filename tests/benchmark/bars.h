// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/benchmark/figures.h"
#include "tests/benchmark/power_fit.h"

namespace stillbox {

/// All that was measured.
struct SuiteFigures {
  bool small = false;  ///< on sizes for which the bars are not meant
  std::vector<RunFigures> rows;
  std::vector<SolveBounds> bounds;
};

/// What was fitted over what, of which rows.
struct NamedFit {
  std::string what, over, rows;
  PowerFit fit;
};

/// Times and peak memory over unknowns (rows of the degree that most of them have, and all), times and memory over the
/// modes found.
std::vector<NamedFit> fits_of(const SuiteFigures &suite);

struct Bar {
  std::string text;
  double limit = 0, value = not_measured;  ///< met when value <= limit
  std::string unit, note;
  bool is_judged = true;

  std::string verdict() const;  ///< "met", "not met", "not measured", or "small sizes" where nothing can be judged
};

/// The bars that the program is held to, with what was measured.
std::vector<Bar> bars_of(const SuiteFigures &suite, const std::vector<NamedFit> &fits);

}  // namespace stillbox
