// SPDX-License-Identifier: MIT
#pragma once
#include <complex>
#include <string>
#include <vector>

#include "postprocess/ring_energy.h"
#include "solver/knock_model.h"

namespace stillbox {

/// A damped mode by its pole p: lambda = -p^2, frequency = sqrt(Re lambda) / (2 pi), loss factor = Im lambda / Re
/// lambda, Q = 1 / loss factor, decay time = 3 ln 10 / -Re p (T60, s; 2.2 / (loss factor x Hz) to first order).
struct RingMode {
  double frequency = 0, loss_factor = 0, quality = 0, decay_time = 0;
  std::string label;  ///< of the modal result; empty when that has other modes
};
RingMode ring_mode(std::complex<double> pole);

/// Decay in one third-octave band (third_octave.h), from the modes whose frequency lies in it; a band without modes is
/// not listed. A filter would also let through what neighbours leave in the band.
struct BandDecay {
  int band = 0, modes = 0;
  DecayFit fit;
  double share = 0;  ///< of the energy of ringing of all modes, taken alone
};

/// A mode counts as heard when its level just after the knock is no more than this far below the strongest one's. A
/// guide, no standard: no agreed limit says what is heard.
constexpr double heard_range = 30;  // dB

/// How one wall rings after knocks on it. All figures are means over knocks at each of the wall's points and over the
/// places of the same points; squares are averaged (for all walls: points weighted by the area they stand for). They
/// start at the end of the contact.
struct WallDeadness {
  std::string wall;
  int points = 0;
  double area = 0;            ///< m2
  std::vector<double> level;  ///< per mode, dB re 1 um/s2 (ISO 1683, from memory): acceleration of the mode alone just
                              ///< after the knock, peak / sqrt 2; -infinity where a mode does not move the points
  int lowest_heard = -1;      ///< lowest mode within heard_range of the strongest; -1 when there is none
  int strongest = -1;         ///< mode with the highest level
  int spared = -1;   ///< mode that would be stronger still but for a gap in the pulse's spectrum (by 2 dB at least, see
                     ///< pulse_envelope); -1: none
  int longest = -1;  ///< of the modes within heard_range: the one with the longest decay time
  double energy_level = 0;  ///< 10 lg (E(0) / ((1 nm/s)^2 1 s)), dB: all of the ringing, as squared velocity over time
  double left_20ms = 0, left_100ms = 0;  ///< E(t) / E(0), see ring_energy.h
  double centre_time = 0;                ///< s
  double time_to_60 = 0;                 ///< s until E has fallen by 60 dB
  std::vector<BandDecay> bands;          ///< by rising frequency
};

struct Deadness {
  std::string case_name, variant_name;
  double up_to = 0;  ///< Hz
  std::vector<RingMode> modes;
  WallDeadness all;                 ///< knocks on all walls, answers of all walls; wall is "all walls"
  std::vector<WallDeadness> walls;  ///< in the order of their first points
};

/// `result` gives the names of the faces and the labels of the modes.
Deadness deadness(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse);

/// E(t) of the velocity behind `all`: all walls together.
RingEnergy ring_energy_of(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse);

/// Part of the area that each point stands for, summing to 1: wall area over the number of its points.
Eigen::VectorXd point_weights(const KnockModel &model, const ModalResult &result);

/// Per point: energy level (see above) of the point's own ringing after a knock on it, dB re (1 nm/s)^2 1 s.
Eigen::VectorXd point_levels(const KnockModel &model, const KnockPulse &pulse);

/// In words, a line each, what the figures of one variant say, and what changes from `base` to `other`. Nothing is
/// said that the figures do not say.
std::vector<std::string> deadness_words(const Deadness &variant);
std::vector<std::string> change_words(const Deadness &base, const Deadness &other);

}  // namespace stillbox
