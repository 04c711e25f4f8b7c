// SPDX-License-Identifier: MIT
#include "postprocess/modes_json.h"

#include <cassert>
#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/summary.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json strings(const std::vector<std::string> &lines) {
  Json out = Json::array();
  for (const std::string &line : lines) out.push_back(clean_text(line));
  return out;
}

Json units() {
  return {{"frequency", "Hz"},    {"mass", "kg"},        {"inner volume", "l"},
          {"volume", "m3"},       {"decay time", "s"},   {"net volume", "m3 / sqrt(kg)"},
          {"shares", "0 .. 1"},   {"errors", "percent"}, {"tolerance", "relative"},
          {"loss factor, q", "1"}};
}

Json mode_json(const ModalResult &result, std::size_t m, int base_mode, const Pairing &pairing) {
  const Mode &mode = result.modes[m];
  Json energy = Json::object();
  for (std::size_t b = 0; b < std::min(mode.energy_share.size(), result.boards.size()); ++b) {
    energy[clean_text(result.boards[b].name)] = number(mode.energy_share[b]);
  }
  Json pair = nullptr;
  if (base_mode >= 0) {
    pair = {{"mode", base_mode + 1}, {"mac", number(pairing.mac[static_cast<std::size_t>(base_mode)])}};
  }
  Json losses = Json::object();
  for (const auto &[source, share] : top_losses(result, mode, result.loss_parts.size())) losses[source] = number(share);
  Json parts = Json::object();
  for (std::size_t p = 0; p < std::min(result.loss_parts.size(), mode.loss_share.size()); ++p)
    parts[clean_text(result.loss_parts[p])] = number(mode.loss_share[p]);
  return {{"mode", m + 1},
          {"frequency_hz", number(mode.frequency)},
          {"mesh_error_percent", number(100 * mode.numerical_error)},
          {"check_shift_percent", number(100 * mode.check_shift)},
          {"band_hz", Json::array({number(mode.band_low), number(mode.band_high)})},
          {"loss_factor", number(mode.loss_factor)},
          {"q", number(mode.quality)},
          {"decay_time_s", number(mode.decay_time)},
          {"loss_share", losses},
          {"loss_share_by_part", parts},
          {"energy_method",
           {{"frequency_hz", number(mode.energy_frequency)}, {"loss_factor", number(mode.energy_loss_factor)}}},
          {"damped_residual", number(mode.damped_residual)},
          {"label", clean_text(mode.label)},
          {"energy_share", energy},
          {"net_volume_m3_sqrt_kg", number(mode.net_volume)},
          {"net_share", number(mode.net_share)},
          {"residual", number(mode.residual)},
          {"paired_with_base", pair}};
}

Json boards_json(const ModalResult &result) {
  Json boards = Json::array();
  for (const BoardSummary &board : result.boards) {
    boards.push_back({{"name", clean_text(board.name)},
                      {"use", clean_text(board.role)},
                      {"material", clean_text(board.material)},
                      {"mass_kg", number(board.mass)},
                      {"volume_m3", number(board.volume)}});
  }
  return boards;
}

Json sensitivities_json(const ModalResult &result) {
  Json out = Json::array();
  for (const Sensitivity &sensitivity : result.sensitivities) {
    Json per_mode = Json::array();
    for (const double value : sensitivity.per_mode) per_mode.push_back(number(value));
    out.push_back({{"parameter", clean_text(sensitivity.parameter)},
                   {"tolerance", number(sensitivity.tolerance)},
                   {"d_ln_frequency", per_mode}});
  }
  return out;
}

Json variant_json(const ModalResult &result, const Pairing &pairing, bool with_timings) {
  const SolveReport &report = result.report;
  const CountCheck check = check_count(result);
  const std::vector<int> base_modes = base_mode_of(pairing, result.modes.size());
  Json modes = Json::array();
  for (std::size_t m = 0; m < result.modes.size(); ++m) modes.push_back(mode_json(result, m, base_modes[m], pairing));

  Json out = {{"name", clean_text(result.variant_name)},
              {"mass_kg", number(result.mass)},
              {"inner_volume_l", result.inner_volume > 0 ? number(1e3 * result.inner_volume) : Json(nullptr)},
              {"unknowns", report.dofs},
              {"cells", report.cells},
              {"degree", report.degree},
              {"up_to_hz", number(report.up_to)},
              {"rigid_modes", report.rigid_modes},
              {"count_check",
               {{"state", count_state_name(check.state)},
                {"found", check.found},
                {"expected", check.state == CountState::not_made ? Json(nullptr) : Json(check.expected)}}},
              {"mesh",
               {{"mass_kg", number(report.mass)},
                {"mass_expected_kg", number(report.mass_expected)},
                {"volume_m3", number(report.volume)},
                {"volume_expected_m3", number(report.volume_expected)},
                {"least_scaled_jacobian", number(report.least_jacobian)}}},
              {"boards", boards_json(result)},
              {"damping", result.exact_damping ? "exact" : "energy method"},
              {"modes", modes},
              {"sensitivities", sensitivities_json(result)},
              {"includes", strings(report.includes)},
              {"leaves_out", strings(report.leaves_out)},
              {"notes", strings(report.notes)}};
  if (with_timings) {
    out["timings"] = {
        {"mesh_s", number(report.seconds_mesh)},           {"assemble_s", number(report.seconds_assemble)},
        {"factorise_s", number(report.seconds_factorise)}, {"eigen_s", number(report.seconds_eigen)},
        {"damped_s", number(report.seconds_damped)},       {"rest_s", number(report.seconds_rest)},
        {"files_s", number(report.seconds_files)}};
  }
  return out;
}

}  // namespace

std::string modes_json(const std::vector<ModalResult> &variants, const std::vector<Pairing> &pairings,
                       bool with_timings) {
  assert(variants.size() == pairings.size());
  Json list = Json::array();
  for (std::size_t v = 0; v < variants.size(); ++v) {
    list.push_back(variant_json(variants[v], pairings[v], with_timings));
  }
  const Json document = {{"schema", "stillbox modes 1"},
                         {"case", variants.empty() ? "" : clean_text(variants.front().case_name)},
                         {"nature", strings(accuracy_lines())},
                         {"units", units()},
                         {"variants", list}};
  return document.dump(2) + "\n";
}

}  // namespace stillbox
