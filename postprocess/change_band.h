// SPDX-License-Identifier: MIT
#pragma once
#include "postprocess/pairing.h"
#include "solver/modal_result.h"

namespace stillbox {

/// How one mode's frequency differs from another's, and how far that difference is sure.
struct FrequencyChange {
  double ratio = 1;        ///< frequency in `other` over that in `base`
  double band = 0;         ///< relative: the ratio is off by at most about this much either way
  bool is_beyond = false;  ///< |ln ratio| > band: more than tolerances and mesh can do
};

/// The change from mode i of `base` to mode j of `other` (from 0). The same boards go into both, so what they share
/// cancels: with the sensitivities s = d ln f / d ln p and tolerances t (relative) of the parameters p,
///   band^2 = sum over shared p of ((s_other - s_base) t)^2 + sum over the other p of (s t)^2 + e^2,
/// e the larger of the two estimated mesh errors. A parameter is shared when its name and its relative tolerance are
/// the same in both; one whose tolerance differs (a board of another thickness) is another stock. First order; says
/// nothing about joints, air or what the model leaves out.
FrequencyChange frequency_change(const ModalResult &base, std::size_t i, const ModalResult &other, std::size_t j);

/// What became of the base's modes in another variant, by their shapes (pairing.h).
struct ModeChanges {
  int higher = 0, lower = 0;  ///< beyond the band
  int within = 0;             ///< not beyond it
  int gone = 0;               ///< no such shape up to the top frequency
};
ModeChanges mode_changes(const ModalResult &base, const ModalResult &other, const Pairing &pairing);

}  // namespace stillbox
