// SPDX-License-Identifier: MIT
#include "postprocess/run_steps.h"

#include <fmt/format.h>
#include <sys/resource.h>

namespace stillbox {

void check_tables(const CaseFile &file, const std::vector<const Structure *> &variants, double up_to) {
  for (const Structure *s : variants)
    for (const Board &board : s->boards)
      for (const Layer &layer : board.layers) {
        const Material &m = s->materials[layer.material];
        if (!m.viscoelastic || m.viscoelastic->outside == Viscoelastic::Outside::hold) continue;
        const double top = frequency_range(*m.viscoelastic, s->temperature).second;
        if (top >= up_to) continue;
        throw CaseError(
            fmt::format("{}: key material.{}.complex_modulus.frequency_hz: at {:.3g} degrees C the table ends at "
                        "{:.4g} Hz; allowed: "
                        "up to {:.4g} Hz and more, the top frequency; add rows, lower up_to_hz or --up-to, or set "
                        "outside = \"hold\"",
                        file.path, m.name, s->temperature, top, up_to));
      }
}

SolveOptions solve_options(const RunOptions &options) {
  SolveOptions o;
  o.up_to = options.up_to;
  o.fineness = options.fineness;
  o.degree = options.degree;
  o.check_run = options.check_run;
  o.damping = options.damping;
  return o;
}

std::function<void(const std::string &)> progress_of(const ProgressLine &line,
                                                     const std::vector<const Structure *> &variants, std::size_t v) {
  return [&line, &variants, v](const std::string &step) {
    show_progress(line,
                  fmt::format("variant {} of {}, {}: {}", v + 1, variants.size(), variants[v]->variant_name, step));
  };
}

double processor_seconds() {
  double sum = 0;
  for (const auto who : {RUSAGE_SELF, RUSAGE_CHILDREN}) {
    rusage used{};
    getrusage(who, &used);
    sum += double(used.ru_utime.tv_sec + used.ru_stime.tv_sec) +
           1e-6 * double(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
  }
  return sum;
}

}  // namespace stillbox
