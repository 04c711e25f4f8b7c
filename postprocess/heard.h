// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/recording.h"

namespace stillbox {

/// A mode as it was heard in a recording of knocks: a pole s = -sigma + i omega (1/s) of the ringing.
struct HeardMode {
  double frequency = 0;       ///< Hz, > 0: |s| / 2 pi, that of the mode without its damping
  double frequency_sd = 0;    ///< Hz, standard deviation of the figure above
  double loss_factor = 0;     ///< twice the damping ratio: 2 sigma / |s|; Q = 1 / loss factor
  double loss_factor_sd = 0;  ///< standard deviation of the figure above
  double level_db = 0;        ///< amplitude at the moment of the knock, mean square over the knocks, dB re the loudest
  int knocks = 0;             ///< in how many knocks it stood above the noise
};

struct HearOptions {
  double from = 40;  ///< Hz, 20 .. 0.4 rate
  double to = 0;     ///< Hz; 0: 2000 Hz, or 0.4 of the sample rate where that is less
};

/// A knock as it was found.
struct HeardKnock {
  double time = 0;    ///< s from the start of the recording
  double peak = 0;    ///< largest sample within 50 ms, full scale 1
  double snr_db = 0;  ///< power of 20 ms of ringing within the band against the quiet before
  std::string fault;  ///< why it is left out; empty: it is used
};

/// A tone that was there before the knock, and does not decay.
struct SteadyTone {
  double frequency = 0;  ///< Hz
  double level_db = 0;   ///< dB re the loudest mode
  bool mains = false;    ///< a multiple of 50 or 60 Hz, within 0.4 Hz + 0.2 %
};

/// All that was heard in a recording.
struct Heard {
  std::vector<HeardMode> modes;    ///< by frequency
  std::vector<HeardKnock> knocks;  ///< by time
  std::vector<SteadyTone> tones;   ///< by frequency
  double from = 0, to = 0;         ///< Hz: where modes were looked for
  double snr_db = 0;               ///< median over the knocks used
  int used = 0;                    ///< knocks used
  int left_out = 0;                ///< poles that were too uncertain to be called a mode
};

/// Least signal-to-noise ratio of a knock that is analysed, dB (see HeardKnock::snr_db). Our own limit, no standard:
/// within narrow bands the modes stand some 10 to 20 dB higher still.
constexpr double least_snr_db = 10;

/// Finds the knocks in a recording and the modes that ring after them.
///  - Knocks: bursts of what a linear predictor cannot foresee (postprocess/knock_finder.h). One with a second hit
///    within 150 ms is left out.
///  - Ringing: from 6 ms after each knock (contact takes 1 to 5 ms) all knocks together are fitted band by band with
///    common poles and amplitudes of their own for each knock (postprocess/ring_fit.h), so that jitter, level and
///    place of the knocks do not matter. The number of poles is the one of least description length; each must come
///    back in at least two of the next three higher orders.
///  - A pole that decays by less than a third over the fitted time and was there before the knock with at least half
///    its amplitude is a steady tone. One whose frequency is uncertain by more than 2 %, or whose loss factor by more
///    than half or is above 0.5, or that does not stand four standard deviations above the noise, is left out.
///  - Standard deviations: with one knock the Cramer-Rao bound for the noise found; with several the larger one of
///    that and the standard error from the spread of fits to each knock alone.
/// Errors: CaseError, which begins with the recording's path, when there is no knock, the recording is too short, too
/// noisy (least_snr_db), every knock is a double hit, the band does not suit the sample rate, or no mode is found.
Heard hear(const Recording &recording, const HearOptions &options);

/// The modes of a heard.csv, sorted by frequency; see read_heard_list for its form and the errors.
std::vector<HeardMode> read_heard_csv(const std::string &path);

}  // namespace stillbox
