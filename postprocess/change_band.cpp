// SPDX-License-Identifier: MIT
#include "postprocess/change_band.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

double shift_of(const Sensitivity &s, std::size_t mode) { return s.per_mode[mode] * s.tolerance; }

const Sensitivity *same_parameter(const ModalResult &result, const Sensitivity &wanted) {
  for (const Sensitivity &s : result.sensitivities)
    if (s.parameter == wanted.parameter && std::abs(s.tolerance - wanted.tolerance) <= 1e-9 * wanted.tolerance)
      return &s;
  return nullptr;
}

}  // namespace

FrequencyChange frequency_change(const ModalResult &base, std::size_t i, const ModalResult &other, std::size_t j) {
  FrequencyChange change;
  const Mode &from = base.modes[i], &to = other.modes[j];
  change.ratio = to.frequency / from.frequency;
  double sum = std::pow(std::max(from.numerical_error, to.numerical_error), 2);
  for (const Sensitivity &s : base.sensitivities) {
    const Sensitivity *same = same_parameter(other, s);
    sum += std::pow((same ? shift_of(*same, j) : 0) - shift_of(s, i), 2);
  }
  for (const Sensitivity &s : other.sensitivities)
    if (!same_parameter(base, s)) sum += std::pow(shift_of(s, j), 2);
  change.band = std::sqrt(sum);
  change.is_beyond = std::abs(std::log(change.ratio)) > change.band;
  return change;
}

ModeChanges mode_changes(const ModalResult &base, const ModalResult &other, const Pairing &pairing) {
  ModeChanges changes;
  for (std::size_t m = 0; m < pairing.partner.size(); ++m) {
    if (pairing.partner[m] < 0) {
      ++changes.gone;
      continue;
    }
    const FrequencyChange change = frequency_change(base, m, other, std::size_t(pairing.partner[m]));
    ++(!change.is_beyond ? changes.within : change.ratio > 1 ? changes.higher : changes.lower);
  }
  return changes;
}

}  // namespace stillbox
