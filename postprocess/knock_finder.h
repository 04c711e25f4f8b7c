// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "postprocess/heard.h"

namespace stillbox {

constexpr double double_hit_time = 0.15;  ///< s: a second hit within this belongs to the same knock and spoils it
constexpr double least_spacing = 0.25;    ///< s: a knock followed sooner by another leaves too little ringing
constexpr double contact_time = 0.006;    ///< s after the onset: by then the hand or hammer has left the wood

/// What a linear predictor cannot foresee: the recording, low-passed at 1.25 `to` and taken at about 5 `to` samples per
/// second, minus its forward prediction by an autoregressive model (order 48, Burg's method: J.P. Burg, 1967, from
/// memory). Ringing and hum are sums of exponentials and are foreseen; a hit is not. The first `order` values are 0.
struct Innovation {
  double rate = 0;  ///< Hz
  std::vector<double> values;
  std::vector<double> signal;  ///< the low-passed recording without its mean
};
Innovation innovation_of(const Recording &recording, double to);

/// The knocks, by time. Energies are summed over windows of 2 ms. Two signs of a hit are looked for:
///  - the innovation: a window that holds the most within 8 ms, more than 30 times the median window and 3 % of the
///    loudest;
///  - where noise hides that, the energy itself: a mean over 6 ms more than 6 times that of the 50 ms before (beats of
///    modes rise by 3 at most) and 1 % of the loudest, with no other hit within double_hit_time before or 20 ms after.
/// Hits less than double_hit_time apart are one knock; when a later one of them by its innovation, 8 ms or more after
/// the first, has at least a tenth of the strongest one's energy and stands five times above the least energy between
/// the two, the knock is a double hit. The onset is the first value, of the innovation or the signal, above a quarter
/// of the knock's largest one. Knocks followed within least_spacing by another or by the end, and double hits, carry a
/// fault. `snr_db` is left 0.
std::vector<HeardKnock> find_knocks(const Recording &recording, double to);

}  // namespace stillbox
