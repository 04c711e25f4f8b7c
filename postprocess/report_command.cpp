// SPDX-License-Identifier: MIT
#include "postprocess/report_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

#include "postprocess/cabinet_drawing.h"
#include "postprocess/child_process.h"
#include "postprocess/chosen_variants.h"
#include "postprocess/drive_command.h"
#include "postprocess/gnuplot.h"
#include "postprocess/knock_command.h"
#include "postprocess/place_results.h"
#include "postprocess/place_search.h"
#include "postprocess/progress.h"
#include "postprocess/report_data.h"
#include "postprocess/report_page.h"
#include "postprocess/riding_modes.h"
#include "postprocess/run_steps.h"
#include "postprocess/safe_file.h"
#include "postprocess/solids_drawing.h"
#include "postprocess/solids_rules.h"
#include "postprocess/solve_variants.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "solver/drive_air.h"
#include "solver/knock_solve.h"

namespace stillbox {
namespace {

constexpr int most_view_modes = 40;               // of a variant
constexpr std::size_t most_view_bytes = 1500000;  // of all variants' shapes, before they are written as base64

std::vector<const Structure *> driven_ones(const std::vector<const Structure *> &variants) {
  std::vector<const Structure *> out;
  for (const Structure *s : variants)
    if (can_be_driven(*s) && !driven_drivers(*s).empty()) out.push_back(s);
  return out;
}

void add_variants(const std::vector<const Structure *> &variants, const RunOptions &options,
                  const std::vector<std::vector<KnockPoint>> &points, const ProgressLine &line, ReportData &data) {
  std::vector<KnockSolution> solutions = solve_variants<KnockSolution>(
      variants, options, line,
      [&](std::size_t v, const SolveOptions &o) { return solve_knock(*variants[v], o, points[v]); });
  for (std::size_t v = 0; v < variants.size(); ++v) {
    KnockSolution &solution = solutions[v];
    data.whole.push_back(solution.model);
    const std::vector<int> riding = riding_modes(*variants[v], solution.modes);
    data.numbers.emplace_back();
    for (int m = 0; m < int(solution.modes.modes.size()); ++m)
      if (std::find(riding.begin(), riding.end(), m) == riding.end()) data.numbers.back().push_back(m + 1);
    data.riding.push_back(take_out_modes(solution, riding));
    ViewLimits limits;
    limits.shape_bytes = most_view_bytes / variants.size();
    data.views.push_back(view_mesh(*variants[v], solution.modes.field, most_view_modes, limits));
    data.drawings.push_back(variants[v]->solids ? solids_drawing(*variants[v], solution.modes.field)
                                                : cabinet_drawing(*variants[v]));
    solution.modes.field = {};  // the largest part, and its surface is kept
    data.structures.push_back(variants[v]);
    data.models.push_back(std::move(solution.model));
    data.results.push_back(std::move(solution.modes));
  }
}

std::string report_text(const ReportData &data, const std::string &path, std::size_t bytes, double seconds,
                        bool with_time) {
  std::string out = clean_text(data.case_name) + "\n";
  for (std::size_t v = 0; v < data.results.size(); ++v) {
    out += paragraph("  ", clean_text(data.results[v].variant_name), table_width);
    for (const std::string &line : verdict_words(data, v)) out += paragraph("    ", line, table_width);
  }
  out += "Not on the page\n";
  for (const auto &[what, how] : report_left_out(data)) out += paragraph("  ", what + ": " + how + ".", table_width);
  out +=
      fmt::format("\n{}: {:.2f} MB, for a browser or its printer; it needs no network\n", path, 1e-6 * double(bytes));
  if (with_time) out += fmt::format("  processor time s: page {:.2f}\n", seconds);
  return out;
}

}  // namespace

std::string run_report(const CaseFile &file, const RunOptions &options, const ReportOptions &report) {
  const std::vector<const Structure *> variants = chosen_variants(file, options.variants);
  check_degree(file, options.degree);
  check_knock(report.knock);
  check_tables(file, variants, options.up_to);
  std::vector<std::vector<KnockPoint>> points;
  for (const Structure *s : variants) points.push_back(knock_points_of(*s, report.knock));
  const std::vector<const Structure *> driven = driven_ones(variants);
  if (report.drive) {
    check_drive(file, driven.empty() ? variants : driven, options, {});
    check_tables(file, driven, modes_beyond * options.up_to);
  }
  const std::string folder = options.out.empty() ? "." : options.out;
  check_gnuplot();
  check_writable(folder);

  ReportData data;
  data.case_name = file.name;
  data.note = file.note;
  data.case_file = std::filesystem::path(file.path).filename().string();
  data.up_to = options.up_to;
  data.fineness = options.fineness;
  data.degree = options.degree;
  data.pulse = report.knock.pulse;
  data.most_pictures = options.picture_modes;
  data.can_drive = !driven.empty();
  data.has_place = has_place_table(file.path);
  if (data.has_place)
    read_place_results(folder, place_fingerprint(file.path, report.materials_path, solve_options(options)), data);
  const ProgressLine line;
  add_variants(variants, options, points, line, data);
  if (report.drive) data.drive = drive_variants(driven, options, {}, line);
  wipe_progress(line);

  const double before = processor_seconds();
  complete_report(data);
  const std::string page = report_page(data);
  const double seconds = processor_seconds() - before;
  const std::string path = folder + "/report.html";
  write_file(path, page);
  return options.json ? report_json(data, path, page.size())
                      : report_text(data, path, page.size(), seconds, options.times);
}

}  // namespace stillbox
