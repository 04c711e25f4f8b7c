// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <complex>
#include <vector>

namespace stillbox {

/// A band of a signal, brought to 0 Hz: complex samples at a low rate.
struct Band {
  double centre = 0;         ///< Hz
  double half = 0;           ///< Hz: cut-off (-3 dB) of the filter on either side
  double low = 0, high = 0;  ///< Hz: the modes of this band are taken from low .. high
};

/// Overlapping bands that together cover from .. to (Hz): each a quarter as wide as its centre's frequency, at least
/// 100 Hz; its modes are taken from its middle half.
std::vector<Band> bands_between(double from, double to);

constexpr int band_filter_order = 6;

/// Every how many samples a band is taken: the largest whole number for which the rate stays at 4 half or above.
int band_step(const Band &band, double rate);

/// x[begin .. end) times exp(-2 pi i centre (n - begin) / rate), through a Butterworth low-pass of order 6 that runs
/// *backwards in time*, every band_step-th sample from `begin` on. Backwards, an exponential that lasts to the end of
/// the filter's memory comes out as the same exponential from the very first sample on: the filter has no transient
/// where the ringing is strongest (a forward filter has it there and lengthens short decays; F. Jacobsen, "A note on
/// acoustic decay measurements", J. Sound Vib. 115, 1987, from memory). Its transient is at the end, which is cut off.
Eigen::VectorXcd band_signal(const std::vector<double> &x, std::size_t begin, std::size_t end, double rate,
                             const Band &band);

/// What the backward filter multiplies an exponential z^n (z per sample at `rate`, after the shift to 0 Hz) by.
std::complex<double> band_gain(std::complex<double> z, double rate, const Band &band);

/// A Butterworth low-pass (order 6, -3 dB at `cut_off` Hz) forwards in time.
std::vector<double> low_pass(const std::vector<double> &x, double rate, double cut_off);

}  // namespace stillbox
