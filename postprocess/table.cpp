// SPDX-License-Identifier: MIT
#include "postprocess/table.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "postprocess/summary.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

/// A relative error as per cent; very small ones as a bound, so that no figure claims to be exact.
std::string error_text(double relative) {
  if (!std::isfinite(relative)) return "-";
  return relative < 5e-5 ? "<0.01" : fmt::format("{:.2f}", 100 * relative);
}

std::string band_text(const Mode &mode) {
  if (!(mode.band_low > 0) || !(mode.band_high >= mode.band_low)) return "-";
  return fmt::format("{:.0f} - {:.0f}", mode.band_low, mode.band_high);
}

std::string energy_text(const ModalResult &result, const Mode &mode) {
  std::string out;
  for (const auto &[board, share] : top_boards(result, mode, 2)) {
    out += fmt::format("{}{} {:.0f} %", out.empty() ? "" : ", ", shorten(board, 18), 100 * share);
  }
  return out.empty() ? "-" : out;
}

std::string loss_text(const ModalResult &result, const Mode &mode) {
  std::string out;
  for (const auto &[source, share] : top_losses(result, mode, 2))
    out += fmt::format("{}{} {:.0f} %", out.empty() ? "" : ", ", shorten(source, 18), 100 * share);
  return out.empty() ? "-" : out;
}

/// Whether the loss can come from more than one board or joint of different stuff.
bool has_loss_sources(const ModalResult &result) {
  std::set<std::string> sources;
  for (const std::string &part : result.loss_parts) sources.insert(loss_source(part));
  return sources.size() > 1;
}

std::string count_text(const ModalResult &result) {
  const CountCheck check = check_count(result);
  std::string modes = fmt::format(
      "{} up to {:.0f} Hz", counted(std::size_t(check.found - result.report.rigid_modes), "mode"), result.report.up_to);
  if (result.report.rigid_modes > 0) modes += " and " + counted(std::size_t(result.report.rigid_modes), "rigid one");
  switch (check.state) {
    case CountState::agrees:
      return modes + ", none missed (the matrix's inertia counts as many)";
    case CountState::differs:
      return modes + fmt::format(", INCOMPLETE: {} found, the matrix's inertia counts {}", check.found, check.expected);
    case CountState::not_made:
      break;
  }
  return modes + ", count not checked";
}

std::string column_notes() {
  const std::vector<std::pair<std::string, std::string>> notes{
      {"mesh error", "estimated; a finer mesh lowers the frequency by about as much"},
      {"band", "where the mode lies when the boards are as far off as their tolerances say"},
      {"energy %",
       "how far the exact loss factor (complex eigenvalue) lies from the energy method's; shown where it was sought"},
      {"T60", "time in which the ringing falls by 60 dB, 2.2 / (loss factor x Hz)"},
      {"net share",
       "1 = all outer walls move outwards together, 0 = their parts cancel: heard little at low frequency"}};
  std::string out;
  for (const auto &[column, note] : notes) out += paragraph("  " + pad_right(column, 12), note, table_width);
  return out;
}

}  // namespace

std::string variant_summary(const ModalResult &result) {
  std::string line = fmt::format("{:.2f} kg", result.mass);
  if (result.inner_volume > 0) line += fmt::format(", {:.2f} litres inside", 1e3 * result.inner_volume);
  line +=
      result.modes.empty() ? ", no mode found" : fmt::format(", first mode {:.1f} Hz", result.modes.front().frequency);
  line += fmt::format(", {} unknowns; ", result.report.dofs) + count_text(result);
  return paragraph("  ", line, table_width);
}

std::string mode_table(const ModalResult &result) {
  if (result.modes.empty()) return "  no modes\n";
  const bool checked = std::any_of(result.modes.begin(), result.modes.end(),
                                   [](const Mode &mode) { return std::isfinite(mode.check_shift); });
  std::vector<Column> columns{{"no"}, {"Hz"}, {"mesh\nerror %"}};
  if (checked) columns.push_back({"finer\nrun %"});
  columns.insert(columns.end(), {{"band by\ntolerances"}, {"loss\nfactor"}});
  if (result.exact_damping) columns.push_back({"from\nenergy %"});
  const bool sources = has_loss_sources(result);
  columns.insert(columns.end(), {{"Q"}, {"T60\ns"}, {"net\nshare"}});

  // What the loss comes from takes the room of the strain energy, which the files hold too.
  columns.push_back({sources ? "loss from" : "strain energy", Align::left, 24});
  columns.push_back({"shape", Align::left});
  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = 0; m < result.modes.size(); ++m) {
    const Mode &mode = result.modes[m];
    std::vector<std::string> row{std::to_string(m + 1), fmt::format("{:.1f}", mode.frequency),
                                 error_text(mode.numerical_error)};
    if (checked) row.push_back(std::isfinite(mode.check_shift) ? fmt::format("{:+.2f}", 100 * mode.check_shift) : "-");
    row.insert(row.end(), {band_text(mode), fmt::format("{:.4f}", mode.loss_factor)});
    if (result.exact_damping) row.push_back(fmt::format("{:+.1f}", 100 * exact_over_energy(mode)));
    row.insert(row.end(), {fmt::format("{:.1f}", mode.quality), fmt::format("{:.3f}", mode.decay_time),
                           fmt::format("{:.2f}", mode.net_share)});
    row.insert(row.end(), {sources ? loss_text(result, mode) : energy_text(result, mode), clean_text(mode.label)});
    rows.push_back(row);
  }
  return text_table(columns, rows, table_width);
}

std::string caution_lines(const std::vector<ModalResult> &variants) {
  std::string out;
  const auto list = [&](const std::string &heading, const std::vector<std::string> &lines) {
    if (lines.empty()) return;
    out += heading + "\n";
    for (const std::string &line : lines) out += paragraph("  - ", line, table_width);
  };
  list("These figures include", common_lines(variants, &SolveReport::includes));
  list("They leave out", common_lines(variants, &SolveReport::leaves_out));
  list("Notes", common_lines(variants, &SolveReport::notes));
  list("How far to trust them", accuracy_lines());
  return out;
}

std::string full_table(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings) {
  std::string out;
  if (!variants.empty()) out += paragraph("", clean_text(variants.front().case_name), table_width) + "\n";
  for (const ModalResult &variant : variants) {
    out += paragraph("", clean_text(variant.variant_name), table_width);
    out += variant_summary(variant) + "\n" + mode_table(variant) + "\n";
  }
  out += column_notes() + "\n";
  const std::string overview = overview_table(variants, pairings);
  if (!overview.empty()) out += overview + "\n";
  for (std::size_t v = 1; v < variants.size(); ++v) {
    out += changes_table(variants.front(), variants[v], pairings[v]) + "\n";
  }
  return out + caution_lines(variants);
}

}  // namespace stillbox
