// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace stillbox {

struct GuardLimits {
  double seconds = 1;                          ///< of processor time for one input
  std::size_t bytes = std::size_t(200) << 20;  ///< that the resident set may grow by with one input
};

struct GuardFinding {
  std::size_t number = 0;  ///< of the input
  std::string what;        ///< how it failed
};

/// True in a build with the address sanitizer, where everything is slower and larger.
bool has_sanitizer();

/// Calls work(0) .. work(count - 1) in child processes. A finding is an input whose call throws, returns words of a
/// complaint, crashes, takes more processor time or memory than the limits (ten times the time and four times the
/// memory under a sanitizer) or blocks for a minute; the work goes on with the next input in a new child. What a child
/// prints goes to `words`, or to nothing where that is null. Stops after `most` findings, or when `seconds` of
/// processor time are used up (0: no limit); `done` is how many inputs were worked on then.
std::vector<GuardFinding> run_guarded(std::size_t count, const std::function<std::string(std::size_t)> &work,
                                      const GuardLimits &limits = {}, std::size_t most = 10, double seconds = 0,
                                      std::size_t *done = nullptr, const char *words = nullptr);

}  // namespace stillbox
