// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/knock_model.h"

namespace stillbox {

/// Root mean square over knock points of the drive-point mobility (drive_point_spectra with structural losses),
/// m/(N s), at `frequencies` (Hz, > 0), weighted by `weights` (summing to 1) over the points `list`.
Eigen::VectorXd mean_mobility(const KnockModel &model, const std::vector<int> &list, const Eigen::VectorXd &weights,
                              const Eigen::VectorXd &frequencies);

/// Frequencies that show every peak: `per_octave` evenly on a logarithmic scale from `low` to `high` (Hz), and at each
/// mode between them its middle and 0.25, 0.5, 1, 2 and 4 half-power half-widths (loss factor x Hz / 2) to both sides.
Eigen::VectorXd peak_frequencies(const KnockModel &model, double low, double high, int per_octave);

/// Short-time spectra of the acceleration that a knock leaves: a Blackman window (0.42, 0.5, 0.08; side
/// lobes 58 dB down, from memory) of length `window` (s) starts at t after the end of the contact, and
///   S(t, f) = 2 / (0.42 window) x |integral over s from 0 to window of w(s) a(t + s) exp(-i 2 pi f s)| / sqrt 2,
/// so that a steady sine of amplitude A gives A / sqrt 2 at its frequency. Root mean square over knocks at all points
/// and places of all points with `weights`. In closed form from the modal sum, no signal is sampled. A window cannot
/// tell what takes fewer than a few of its own lengths' periods: see valid_periods.
/// Rows: times; columns: frequencies; m/s2.
Eigen::MatrixXd decay_spectra(const KnockModel &model, const Eigen::VectorXd &weights, const KnockPulse &pulse,
                              double window, const Eigen::VectorXd &times, const Eigen::VectorXd &frequencies);

/// Below valid_periods / window Hz a window holds fewer periods than this, and its main lobe (6 / window wide) reaches
/// zero frequency: time and frequency cannot both be told, the spectrum there says nothing.
constexpr double valid_periods = 3;

}  // namespace stillbox
