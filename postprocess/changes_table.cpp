// SPDX-License-Identifier: MIT
// Side by side: the base against the other variants (declared in table.h).
#include <fmt/format.h>

#include <algorithm>
#include <cassert>

#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

std::string change_text(double from, double to) {
  return from > 0 ? fmt::format("{:+.0f} %", 100 * (to / from - 1)) : "-";
}

/// At most three variants, a row per base mode.
std::string overview_block(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings,
                           std::size_t first, std::size_t last) {
  const ModalResult &base = variants.front();
  std::vector<Column> columns{{"no"}, {shorten(clean_text(base.variant_name), 14) + "\nHz"}};
  for (std::size_t v = first; v < last; ++v) {
    columns.push_back({shorten(clean_text(variants[v].variant_name), 20) + "\nHz change MAC"});
  }
  columns.push_back({"shape in " + shorten(clean_text(base.variant_name), 14), Align::left});

  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = 0; m < base.modes.size(); ++m) {
    std::vector<std::string> row{std::to_string(m + 1), fmt::format("{:.0f}", base.modes[m].frequency)};
    for (std::size_t v = first; v < last; ++v) {
      const int partner = pairings[v].partner[m];
      if (partner < 0) {
        row.emplace_back("gone");
        continue;
      }
      const double to = variants[v].modes[static_cast<std::size_t>(partner)].frequency;
      row.push_back(
          fmt::format("{:.0f} {:>6} {:.2f}", to, change_text(base.modes[m].frequency, to), pairings[v].mac[m]));
    }
    row.push_back(clean_text(base.modes[m].label));
    rows.push_back(row);
  }
  return text_table(columns, rows, table_width);
}

void list_unpaired(std::string &out, const std::string &what, const ModalResult &result,
                   const std::vector<int> &partner, const std::string &why) {
  for (std::size_t m = 0; m < result.modes.size(); ++m) {
    if (partner[m] >= 0) continue;
    const Mode &mode = result.modes[m];
    out += paragraph(fmt::format("  {}  mode {:>2}  {:>5.0f} Hz  ", what, m + 1, mode.frequency),
                     clean_text(mode.label) + why, table_width);
  }
}

}  // namespace

std::string changes_table(const ModalResult &base, const ModalResult &other, const Pairing &pairing) {
  assert(pairing.partner.size() == base.modes.size());
  std::string out =
      paragraph("",
                "From " + clean_text(base.variant_name) + " to " + clean_text(other.variant_name) +
                    fmt::format(" (mass {:+.2f} kg", other.mass - base.mass) +
                    (base.inner_volume > 0 && other.inner_volume > 0
                         ? fmt::format(", inside {:+.2f} litres)", 1e3 * (other.inner_volume - base.inner_volume))
                         : ")"),
                table_width);
  for (std::size_t m = 0; m < base.modes.size(); ++m) {
    if (pairing.partner[m] < 0) continue;
    const auto partner = static_cast<std::size_t>(pairing.partner[m]);
    const Mode &before = base.modes[m], &after = other.modes[partner];
    const std::string line = fmt::format(
        "  mode {:>2} from {:>4.0f} to {:>4.0f} Hz  {:>6}  now mode {:>2}  MAC {:.2f}  ", m + 1, before.frequency,
        after.frequency, change_text(before.frequency, after.frequency), partner + 1, pairing.mac[m]);
    out += paragraph(line, clean_text(before.label), table_width);
  }
  list_unpaired(out, "gone", base, pairing.partner,
                fmt::format(" (no such shape up to {:.0f} Hz)", other.report.up_to));
  list_unpaired(out, "new ", other, base_mode_of(pairing, other.modes.size()), "");
  return out;
}

std::string overview_table(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings) {
  assert(variants.size() == pairings.size());
  if (variants.size() < 3) return "";
  std::string out;
  for (std::size_t first = 1; first < variants.size(); first += 3) {
    if (!out.empty()) out += "\n";
    out += overview_block(variants, pairings, first, std::min(first + 3, variants.size()));
  }
  return out;
}

}  // namespace stillbox
