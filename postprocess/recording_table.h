// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "postprocess/recording.h"

namespace stillbox {

/// The table side of read_recording: time in s, then one acceleration in m/s2 per channel, parted by comma, semicolon
/// or tabulator; a first line that is no number is a heading; empty lines and lines that begin with # are skipped.
/// Errors: CaseError with path and line.
Recording read_recording_table(const std::string &path, int channel);

/// The whole of a file of at most `most` bytes. Errors: CaseError.
std::string read_text_file(const std::string &path, std::size_t most);

/// The cells of a line, trimmed of blanks, carriage returns and quotes around the whole.
std::vector<std::string> cells_of(std::string_view line, char separator);

/// A number that fills the whole cell, with a decimal point, finite; otherwise false.
bool read_number(const std::string &cell, double &value);

}  // namespace stillbox
