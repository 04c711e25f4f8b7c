// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <vector>

#include "postprocess/progress.h"
#include "postprocess/run_steps.h"
#include "postprocess/side_by_side.h"
#include "postprocess/solution_bytes.h"

namespace stillbox {

/// How the variants of one command are solved: side by side as far as --side-by-side, processors, memory (now
/// available) and MPI allow; the progress goes to `line`, which must outlive it.
SideBySide side_by_side_of(const RunOptions &options, const std::vector<const Structure *> &variants,
                           const ProgressLine &line);

/// What the solver needs for a variant in a job of run_side_by_side, whose voice must outlive it.
SolveOptions solve_options(const RunOptions &options, const Structure &variant, const JobVoice &voice);

/// In one process of `of`: its share of the threads for dense algebra.
void use_some_threads(int of);

/// Expected greatest memory (bytes) of a variant's solution, from measured runs (DEVELOPERS.md has them): 300 MB and
/// for each unknown 6 kB, 17 kB where the complex problem is solved (its factor goes to disk when that is too much).
double expected_memory(double unknowns, bool exact_damping);

/// The solutions of the variants in their order; `solve` finds one and writes what files it can. Where several run at
/// once, each does so in a process of its own and hands the solution over as bytes; the figures are the same.
/// Errors: those of `solve`, see run_side_by_side.
template <class Solution>
std::vector<Solution> solve_variants(const std::vector<const Structure *> &variants, const RunOptions &options,
                                     const ProgressLine &line,
                                     const std::function<Solution(std::size_t v, const SolveOptions &)> &solve) {
  std::vector<Solution> solutions(variants.size());
  const SideBySide how = side_by_side_of(options, variants, line);
  if (how.most <= 1) {
    for (std::size_t v = 0; v < variants.size(); ++v) {
      SolveOptions o = solve_options(options);
      o.progress = progress_of(line, variants, v);
      solutions[v] = solve(v, o);
    }
    return solutions;
  }
  const auto answers = run_side_by_side(
      variants.size(),
      [&](std::size_t v, const JobVoice &voice) {
        use_some_threads(how.most);
        return bytes_of(solve(v, solve_options(options, *variants[v], voice)));
      },
      how);
  for (std::size_t v = 0; v < variants.size(); ++v) from_bytes(answers[v], solutions[v]);
  return solutions;
}

}  // namespace stillbox
