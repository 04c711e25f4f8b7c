// SPDX-License-Identifier: MIT
#pragma once
#include <cstddef>
#include <functional>
#include <string>
#include <vector>

namespace stillbox {

/// What a job tells while it works.
struct JobVoice {
  std::function<void(const std::string &step)> step;  ///< what it does now, for the progress line
  std::function<void(double bytes)> needs;            ///< its greatest memory, as soon as it knows
};
using Job = std::function<std::string(std::size_t number, const JobVoice &voice)>;

struct SideBySide {
  int most = 1;                    ///< at once
  double memory = 0;               ///< bytes for all together; 0: not known, then no two run at once
  std::vector<std::size_t> order;  ///< in which they are started; empty: 0, 1, ...
  std::function<void(const std::vector<std::string> &steps)> show;  ///< of each job, empty: not at work
};

/// The answers of the jobs 0 .. count - 1, in this order. Each runs in a child of this process, at most `most` at once:
/// the first at once, another when all that run have told what they need and what is left of the memory holds once more
/// the greatest of these. A child that is ended from outside beside others (as the system does when memory runs out) is
/// started again when the others have ended. Children end with this process, however that ends.
/// Errors: the first one that a job throws, its type kept for CaseError, MeshError, SolveError, OutputError and
/// bad_alloc; SolveError when a child is ended from outside that ran alone. The others are ended then.
std::vector<std::string> run_side_by_side(std::size_t count, const Job &job, const SideBySide &how);

/// Processors that this process may use, at least 1.
int processor_count();

}  // namespace stillbox
