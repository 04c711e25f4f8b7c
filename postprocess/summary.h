// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <utility>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// Whether the table is complete: the number of modes found against the number of eigenvalues below `up_to` that the
/// inertia of the shifted matrix gives (Sylvester's law of inertia).
enum class CountState { not_made, agrees, differs };

struct CountCheck {
  CountState state = CountState::not_made;
  int found = 0;     ///< modes up to report.up_to plus the rigid ones
  int expected = 0;  ///< report.counted_below
};

CountCheck check_count(const ModalResult &result);

/// "agrees", "differs" or "not made".
std::string count_state_name(CountState state);

/// Boards by falling share of the mode's strain energy, at most `count`; shares below one per cent are left out.
std::vector<std::pair<std::string, double>> top_boards(const ModalResult &result, const Mode &mode, std::size_t count);

/// The material (or bond) of one of ModalResult::loss_parts.
std::string loss_source(const std::string &part);

/// What the mode's loss comes from, by material (or bond) and falling share, at most `count`; shares below one per cent
/// are left out. Empty when nothing is lost.
std::vector<std::pair<std::string, double>> top_losses(const ModalResult &result, const Mode &mode, std::size_t count);

/// Loss factor of the complex eigenproblem over that of the energy method, less one; 0 when the latter was used.
double exact_over_energy(const Mode &mode);

/// What figures hold (or leave out) over all variants, in the order of first mention. A line that is not said of every
/// variant ends with the names of those it is said of.
std::vector<std::string> common_lines(const std::vector<ModalResult> &variants,
                                      std::vector<std::string> SolveReport::*lines);

/// The general caution: a prediction is not a measurement, and how near such models usually come.
std::vector<std::string> accuracy_lines();

}  // namespace stillbox
