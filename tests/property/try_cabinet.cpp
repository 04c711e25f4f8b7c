// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/case_file.h"
#include "mesh/mesh_error.h"
#include "solver/modes.h"
#include "tests/fuzz/readers.h"
#include "tests/property/random_cabinets.h"

namespace stillbox {

CabinetRun try_cabinet(const std::string &text) {
  CabinetRun run;
  const auto refused = [&](CabinetOutcome outcome, const std::exception &error) {
    run.outcome = outcome;
    run.reason = error.what();
    run.complaint = message_complaint(run.reason);
    return run;
  };
  CaseFile file;
  try {
    file = read_case_text(text, "random.toml", STILLBOX_SOURCE_DIR "/cases/materials.toml");
  } catch (const CaseError &error) {
    return refused(CabinetOutcome::refused_by_reader, error);
  }
  const Structure &s = file.variants.front();
  SolveOptions options;
  options.up_to = file.mesh.up_to;
  options.fineness = file.mesh.fineness;
  options.degree = file.mesh.degree;
  try {
    SolveReport report;
    Model model = build_model(s, options, report);
    const Spectrum spectrum = solve_spectrum(model, options, report);
    run.unknowns = report.dofs;
    run.modes = int(spectrum.elastic.values.size());
    const auto complain = [&](const std::string &what) { run.complaint += (run.complaint.empty() ? "" : "; ") + what; };
    if (spectrum.counted_below != spectrum.rigid + run.modes)
      complain(fmt::format("{} modes counted, {} rigid and {} others found", spectrum.counted_below, spectrum.rigid,
                           run.modes));
    double last = 0;
    for (int i = 0; i < run.modes; ++i) {
      const double f = std::sqrt(spectrum.elastic.values[i]) / (2 * M_PI);
      if (!(std::isfinite(f) && f >= last && f <= options.up_to * (1 + 1e-9)))
        complain(fmt::format("mode {} at {} Hz after {} Hz", i + 1, f, last));
      last = f;
      if (!(spectrum.residuals[i] < 1e-4))
        complain(fmt::format("mode {} at {:.4g} Hz: residual {:.2g}", i + 1, f, spectrum.residuals[i]));
    }
    const bool is_loose = std::any_of(s.bonds.begin(), s.bonds.end(), [](const Bond &b) { return b.is_loose(); }) ||
                          text.find("glued = [") != std::string::npos;
    if (!s.feet.empty() && !is_loose && spectrum.rigid != 0)
      complain(fmt::format("{} rigid motions on feet", spectrum.rigid));
    if (s.feet.empty() && (is_loose ? spectrum.rigid < 6 : spectrum.rigid != 6))
      complain(fmt::format("{} rigid motions", spectrum.rigid));
    const auto differs = [&](const char *what, double found, double expected) {
      if (!(std::abs(found / expected - 1) < 1e-3))
        complain(fmt::format("{} {:.6g} in place of {:.6g}", what, found, expected));
    };
    differs("mass", report.mass, report.mass_expected);
    differs("volume", report.volume, report.volume_expected);
    if (!(report.least_jacobian > 0)) complain(fmt::format("least Jacobian {:.3g}", report.least_jacobian));
  } catch (const MeshError &error) {
    return refused(CabinetOutcome::refused_by_mesher, error);
  } catch (const SolveError &error) {
    return refused(CabinetOutcome::refused_by_solver, error);
  }
  return run;
}

}  // namespace stillbox
