// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/heard.h"

namespace stillbox {

/// One line of a list of heard frequencies, with what the user knows about it.
struct HeardLine {
  HeardMode heard;
  int mode = 0;      ///< number in the table of `modes`, from 1; 0: to be found
  std::string wall;  ///< the board that was knocked or measured; empty: not said
  int line = 0;      ///< of the file; 0: not from a file
};

/// Standard deviation of a frequency where none is given, relative (our choice, no source: a clean knock is read to
/// that).
constexpr double assumed_frequency_sd = 0.002;
/// The same of a loss factor, relative.
constexpr double assumed_loss_sd = 0.2;

/// True when the first line of data names a column frequency_hz: a list of heard frequencies and not a recording.
bool is_heard_list(const std::string &path);

/// Reads a list as comma-separated values with a line of headings: frequency_hz (needed), frequency_sd_hz, loss_factor,
/// loss_factor_sd, level_db, knocks, mode, wall; in any order, further columns are ignored, empty cells mean "not
/// given". Lines that start with # and empty lines are skipped. Sorted by frequency. Not given: the standard deviations
/// above; a loss factor that is not a number.
/// Errors: CaseError with every problem, each with path, line, column, value, what is allowed and what to do: no such
/// file, a folder, above 1 MiB; no column frequency_hz, a column twice; a cell that is no number or out of range
/// (frequency 1 .. 20000, its sd 0 .. half of it, loss factor 0 .. 2, its sd 0 .. 2, level -300 .. 300, knocks 0 ..
/// 10000, mode 1 .. 100000); a mode twice; too many cells; no frequencies, more than 1000.
std::vector<HeardLine> read_heard_list(const std::string &path);

}  // namespace stillbox
