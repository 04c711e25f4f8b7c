// SPDX-License-Identifier: MIT
// The CSV side of modes_json.h.
#include <fmt/format.h>

#include <cassert>
#include <cmath>

#include "postprocess/modes_json.h"
#include "postprocess/summary.h"

namespace stillbox {
namespace {

std::string number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : ""; }

}  // namespace

std::string csv_cell(const std::string &text) {
  if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + "\"";
}

std::string csv_line(const std::vector<std::string> &cells) {
  std::string out;
  for (std::size_t c = 0; c < cells.size(); ++c) out += (c > 0 ? "," : "") + csv_cell(cells[c]);
  return out + "\r\n";
}

std::string modes_csv(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings) {
  assert(variants.size() == pairings.size());
  std::string out = csv_line({"variant",
                              "mode",
                              "frequency_hz",
                              "mesh_error_percent",
                              "band_low_hz",
                              "band_high_hz",
                              "loss_factor",
                              "q",
                              "decay_time_s",
                              "net_volume_m3_sqrt_kg",
                              "net_share",
                              "residual",
                              "base_mode",
                              "mac",
                              "first_board",
                              "first_board_energy_share",
                              "second_board",
                              "second_board_energy_share",
                              "energy_method_loss_factor",
                              "label"});
  for (std::size_t v = 0; v < variants.size(); ++v) {
    const ModalResult &result = variants[v];
    const std::vector<int> base_modes = base_mode_of(pairings[v], result.modes.size());
    for (std::size_t m = 0; m < result.modes.size(); ++m) {
      const Mode &mode = result.modes[m];
      auto top = top_boards(result, mode, 2);
      const std::size_t boards = top.size();
      top.resize(2);
      const int base = base_modes[m];
      out += csv_line({result.variant_name,
                       std::to_string(m + 1),
                       number(mode.frequency),
                       number(100 * mode.numerical_error),
                       number(mode.band_low),
                       number(mode.band_high),
                       number(mode.loss_factor),
                       number(mode.quality),
                       number(mode.decay_time),
                       number(mode.net_volume),
                       number(mode.net_share),
                       number(mode.residual),
                       base < 0 ? "" : std::to_string(base + 1),
                       base < 0 ? "" : number(pairings[v].mac[static_cast<std::size_t>(base)]),
                       top[0].first,
                       boards > 0 ? number(top[0].second) : "",
                       top[1].first,
                       boards > 1 ? number(top[1].second) : "",
                       number(mode.energy_loss_factor),
                       mode.label});
    }
  }
  return out;
}

}  // namespace stillbox
