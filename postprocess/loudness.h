// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

namespace stillbox {

/// Frequency weighting A of IEC 61672-1 (from memory) as an amplitude ratio, 1 at 1 kHz:
///   A(f) = R(f) / R(1000),  R(f) = 12194^2 f^4 / ((f^2 + 20.6^2) sqrt((f^2 + 107.7^2) (f^2 + 737.9^2)) (f^2 +
///   12194^2)).
double a_weighting(double frequency);

/// A-weighted energy of a signal: integral of its squared A-weighted value over time, (unit)^2 s. By Parseval: sum over
/// the discrete spectrum of |X|^2 A^2, the signal padded with zeros to at least twice its length.
double a_weighted_energy(const std::vector<double> &signal, double rate);

}  // namespace stillbox
