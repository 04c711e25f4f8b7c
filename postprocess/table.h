// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/pairing.h"
#include "solver/modal_result.h"

namespace stillbox {

/// Widest line of the terminal tables, in columns.
constexpr std::size_t table_width = 110;

/// One or two lines: mass (kg), inner volume (litres), first mode (Hz), unknowns, number of modes and whether the count
/// from the matrix's inertia says that none was missed.
std::string variant_summary(const ModalResult &result);

/// One row per mode: number, frequency in Hz, estimated numerical error in per cent, band from the boards' tolerances
/// in Hz, loss factor, Q, decay time T60 in s, net share, the two boards with most strain energy, shape.
std::string mode_table(const ModalResult &result);

/// What became of each of the base's modes in one other variant: "mode 1 from 412 to 655 Hz", change in per cent, MAC;
/// then the modes without a partner, as gone or new.
std::string changes_table(const ModalResult &base, const ModalResult &other, const Pairing &pairing);

/// Base against all other variants: a row per base mode and a column per variant, at most three variants side by side.
/// `pairings` as from pair_with_base. Empty with fewer than three variants (changes_table says it all then).
std::string overview_table(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings);

/// What the figures include and leave out, the solver's notes, and the general caution.
std::string caution_lines(const std::vector<ModalResult> &variants);

/// All of the above for a terminal, no line wider than table_width, no colours.
std::string full_table(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings);

}  // namespace stillbox
