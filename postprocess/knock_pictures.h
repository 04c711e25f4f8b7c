// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/gnuplot.h"
#include "solver/knock_model.h"

namespace stillbox {

/// Response against frequency, all variants in each panel: first all walls together, then wall by wall. Shown is the
/// drive-point mobility, root mean square over the knock points, as the velocity level of a force of 1 N,
///   L = 20 lg (|v / F| / 1 nm/(N s)), dB; 1 nm/s is the reference of ISO 1683 (from memory).
/// Variants differ in colour, lightness and dashes. Errors: OutputError, see gnuplot.h.
Plot response_plot(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                   bool with_png = true);

/// What all decay pictures of a run share, so that they can be laid side by side.
struct DecayFrame {
  double window = 0.03;        ///< s, see decay_spectra: 18 periods of the lowest ring heard, 20 to 200 ms
  double low = 50, high = 0;   ///< Hz
  double last = 0.3;           ///< s: the start of the last window
  double top = 0, range = 50;  ///< dB re 1 um/s2, dB
};
constexpr int decay_slices = 36;
DecayFrame decay_frame(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                       const KnockPulse &pulse);

/// Decay of one variant as a waterfall: spectra of decay_spectra (knock_spectra.h), the first behind, later ones in
/// front of it. Below valid_periods / window, where the window is too short to tell anything, the picture is shaded
/// and says so. Errors: OutputError.
Plot decay_plot(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse, const DecayFrame &frame);

}  // namespace stillbox
