// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "postprocess/commands.h"
#include "postprocess/progress.h"
#include "solver/modes.h"

namespace stillbox {

// What the commands that solve have in common.

/// Tables of moduli must reach the top frequency; found here, as --up-to can raise it beyond what the file says.
/// Errors: CaseError.
void check_tables(const CaseFile &file, const std::vector<const Structure *> &variants, double up_to);

/// What of the command line the solver needs.
SolveOptions solve_options(const RunOptions &options);

/// Shows the steps of one variant's solution on the line; line and variants must outlive it.
std::function<void(const std::string &)> progress_of(const ProgressLine &line,
                                                     const std::vector<const Structure *> &variants, std::size_t v);

/// Processor time of this process and those it has waited for, in s.
double processor_seconds();

}  // namespace stillbox
