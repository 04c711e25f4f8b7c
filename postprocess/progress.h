// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <string>

namespace stillbox {

/// One line on a terminal that is written over and over; nothing at all goes to a pipe, a file or a dumb terminal
/// (TERM=dumb), so logs stay clean. The line is wiped when the object goes, also on an exception.
struct ProgressLine {
  explicit ProgressLine(int file_descriptor = 2);  ///< 2 is standard error
  ~ProgressLine();
  ProgressLine(const ProgressLine &) = delete;
  ProgressLine &operator=(const ProgressLine &) = delete;

  int descriptor;
  bool live = false;  ///< whether anything is shown
};

/// Shows `text`, cut to the terminal's width, in place of what was there.
void show_progress(const ProgressLine &line, const std::string &text);

/// Wipes the line, e.g. before printing something else.
void wipe_progress(const ProgressLine &line);

}  // namespace stillbox
