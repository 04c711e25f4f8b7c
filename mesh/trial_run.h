// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>

namespace stillbox {

/// How a call went that was tried out of harm's way.
struct TrialRun {
  bool survived = true;  ///< it came to an end, by returning or by an exception
  std::string how;       ///< when not: "it breaks the reader (Segmentation fault)", "it takes more than 60 s ..."
};

/// Calls `work` in a child process, silent, within `seconds` of processor time, and throws its results away. For
/// libraries that end the whole process on a damaged file: what survives here may then be done in earnest. When no
/// child can be made, nothing is tried and the run counts as survived.
TrialRun trial_run(const std::function<void()> &work, int seconds);

}  // namespace stillbox
