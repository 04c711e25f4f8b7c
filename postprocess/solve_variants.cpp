// SPDX-License-Identifier: MIT
#include "postprocess/solve_variants.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "solver/blas_threads.h"
#include "solver/freed_memory.h"
#include "solver/lossy_parts.h"
#include "solver/ranks.h"

namespace stillbox {

SideBySide side_by_side_of(const RunOptions &options, const std::vector<const Structure *> &variants,
                           const ProgressLine &line) {
  SideBySide how;
  const int wanted = options.side_by_side > 0 ? options.side_by_side : processor_count();
  how.most = std::min(wanted, int(variants.size()));
  if (started_by_mpirun() || mpi_is_running()) how.most = 1;
  how.memory = available_memory();
  // The longest first, so that all end together: exact damping takes several times as long as all else.
  const auto length = [&](std::size_t v) {
    return variants[v]->boards.size() * (has_exact_damping(options.damping, *variants[v]) ? 5 : 1);
  };
  how.order.resize(variants.size());
  std::iota(how.order.begin(), how.order.end(), std::size_t(0));
  std::stable_sort(how.order.begin(), how.order.end(), [&](auto a, auto b) { return length(a) > length(b); });
  how.show = [&line, variants](const std::vector<std::string> &steps) {
    std::string text;
    for (std::size_t v = 0; v < variants.size(); ++v)
      if (!steps[v].empty()) text += (text.empty() ? "" : "; ") + variants[v]->variant_name + ": " + steps[v];
    show_progress(line, fmt::format("{} variants: {}", variants.size(), text));
  };
  return how;
}

double expected_memory(double unknowns, bool exact_damping) { return 300e6 + (exact_damping ? 17e3 : 6e3) * unknowns; }

SolveOptions solve_options(const RunOptions &options, const Structure &variant, const JobVoice &voice) {
  const bool exact = has_exact_damping(options.damping, variant);
  SolveOptions o = solve_options(options);
  o.progress = voice.step;
  o.meshed = [&voice, options, exact, has_told = false](int unknowns) mutable {
    if (has_told) return;
    has_told = true;
    // The check run has one degree more on the same cells.
    const double p = options.degree, more = options.check_run ? std::pow((p + 1) / p, 3) : 1;
    voice.needs(expected_memory(more * unknowns, exact));
  };
  return o;
}

void use_some_threads(int of) { use_blas_threads(std::max(1, processor_count() / of)); }

}  // namespace stillbox
