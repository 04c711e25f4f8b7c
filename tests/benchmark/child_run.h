// SPDX-License-Identifier: MIT
#pragma once
#include <filesystem>
#include <string>
#include <vector>

namespace stillbox {

/// What a program took. Times are sums over it and all processes that it waited for; the peak is that of the largest
/// one of them, not of all together: that is what the system counts (getrusage(2), ru_maxrss).
struct ChildRun {
  int code = -1;       ///< exit code, 128 + signal when it was killed
  double seconds = 0;  ///< by the clock, from before its start until after its end
  double processor_seconds = 0;
  double peak = 0;       ///< MiB, resident
  std::string out, err;  ///< what it printed
};

/// Processors that this process may use.
std::vector<int> own_processors();

/// Runs words[0] with the others as arguments on the first `threads` of own_processors(), with OPENBLAS_NUM_THREADS set
/// to that number; its output goes through files in `folder`. The peak memory counts from the fork on, with what this
/// process holds: call it from a small one. Errors: std::runtime_error when no process can be made or there are fewer
/// processors than threads.
ChildRun run_child(const std::vector<std::string> &words, int threads, const std::filesystem::path &folder);

}  // namespace stillbox
