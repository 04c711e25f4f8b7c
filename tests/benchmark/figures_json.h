// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/benchmark/bars.h"
#include "tests/benchmark/figures.h"

namespace stillbox {

/// Adds what `stillbox modes --times --json` printed to a row: unknowns, modes, errors and phases, of several variants
/// the sums (errors: worst and mean over all modes). Errors: std::runtime_error when it is no such text.
void read_modes_json(const std::string &text, RunFigures &row);

// Figures between the two programs of the suite. A figure that was not measured is null.
std::string bounds_to_json(const SolveBounds &bounds);
SolveBounds bounds_from_json(const std::string &text);
std::string rows_to_json(const std::vector<RunFigures> &rows);
std::vector<RunFigures> rows_from_json(const std::string &text);

/// Everything that the table shows: small_sizes, rows[], bounds[], fits[], bars[]; times in s, peak in MiB.
std::string suite_to_json(const SuiteFigures &suite, const std::vector<NamedFit> &fits, const std::vector<Bar> &bars);

}  // namespace stillbox
