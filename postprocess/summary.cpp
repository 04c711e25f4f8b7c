// SPDX-License-Identifier: MIT
#include "postprocess/summary.h"

#include <algorithm>

#include "postprocess/text.h"

namespace stillbox {

CountCheck check_count(const ModalResult &result) {
  const SolveReport &report = result.report;
  CountCheck check;
  check.found = report.rigid_modes +
                static_cast<int>(std::count_if(result.modes.begin(), result.modes.end(),
                                               [&](const Mode &mode) { return mode.frequency <= report.up_to; }));
  if (report.counted_below < 0) return check;
  check.expected = report.counted_below;
  check.state = check.found == check.expected ? CountState::agrees : CountState::differs;
  return check;
}

std::string count_state_name(CountState state) {
  return state == CountState::agrees ? "agrees" : state == CountState::differs ? "differs" : "not made";
}

std::vector<std::pair<std::string, double>> top_boards(const ModalResult &result, const Mode &mode, std::size_t count) {
  std::vector<std::pair<std::string, double>> shares;
  for (std::size_t b = 0; b < std::min(result.boards.size(), mode.energy_share.size()); ++b) {
    if (mode.energy_share[b] >= 0.01) shares.emplace_back(clean_text(result.boards[b].name), mode.energy_share[b]);
  }
  std::stable_sort(shares.begin(), shares.end(), [](const auto &a, const auto &b) { return a.second > b.second; });
  if (shares.size() > count) shares.resize(count);
  return shares;
}

std::string loss_source(const std::string &part) {
  const std::size_t colon = part.find(": ");
  return colon == std::string::npos ? part : part.substr(colon + 2);
}

std::vector<std::pair<std::string, double>> top_losses(const ModalResult &result, const Mode &mode, std::size_t count) {
  std::vector<std::pair<std::string, double>> shares;
  for (std::size_t p = 0; p < std::min(result.loss_parts.size(), mode.loss_share.size()); ++p) {
    const std::string source = clean_text(loss_source(result.loss_parts[p]));
    auto at = std::find_if(shares.begin(), shares.end(), [&](const auto &s) { return s.first == source; });
    if (at == shares.end()) at = shares.insert(shares.end(), {source, 0});
    at->second += mode.loss_share[p];
  }
  shares.erase(std::remove_if(shares.begin(), shares.end(), [](const auto &s) { return !(s.second >= 0.01); }),
               shares.end());
  std::stable_sort(shares.begin(), shares.end(), [](const auto &a, const auto &b) { return a.second > b.second; });
  if (shares.size() > count) shares.resize(count);
  return shares;
}

double exact_over_energy(const Mode &mode) {
  return mode.energy_loss_factor > 0 ? mode.loss_factor / mode.energy_loss_factor - 1 : 0;
}

std::vector<std::string> common_lines(const std::vector<ModalResult> &variants,
                                      std::vector<std::string> SolveReport::*lines) {
  std::vector<std::pair<std::string, std::vector<std::size_t>>> said;  // line, numbers of variants
  for (std::size_t v = 0; v < variants.size(); ++v) {
    for (const std::string &line : variants[v].report.*lines) {
      auto it = std::find_if(said.begin(), said.end(), [&](const auto &entry) { return entry.first == line; });
      if (it == said.end()) it = said.insert(said.end(), {line, {}});
      if (it->second.empty() || it->second.back() != v) it->second.push_back(v);
    }
  }
  std::vector<std::string> out;
  for (const auto &[line, numbers] : said) {
    std::string text = clean_text(line);
    if (numbers.size() < variants.size()) {
      text += " (only in: ";
      for (std::size_t k = 0; k < numbers.size(); ++k) {
        text += (k > 0 ? ", " : "") + clean_text(variants[numbers[k]].variant_name);
      }
      text += ")";
    }
    out.push_back(text);
  }
  return out;
}

std::vector<std::string> accuracy_lines() {
  return {
      "This is a prediction, not a measurement.",
      "Models of this kind usually come within 5-10 % of measured frequencies when the boards' own moduli and "
      "densities "
      "are known, and are off by 20 % and more with catalogue values. The mesh error above is only what the mesh "
      "adds.",
      "Loss factors, and so Q and decay, are the least certain figures: they hang on joints, glue and fittings.",
  };
}

}  // namespace stillbox
