// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <vector>

namespace stillbox {

/// What is left of a mean-square ringing signal: v(t) = sum over k of b_k exp(q_k t) and its mean over knocks and
/// places, mean v^2 = Re sum over k, l of B_kl exp((q_k + q_l) t). Its Schroeder integral (squares integrated
/// backwards from infinity; M. R. Schroeder, J. Acoust. Soc. Am. 37, 1965, from memory) is the closed form
///   E(t) = integral from t to infinity of mean v^2 = -Re sum over k, l of B_kl exp((q_k + q_l) t) / (q_k + q_l).
/// Of a single slow exponential E(t) = E(0) exp(2 Re(q) t) up to a ripple of relative size |Re q / q|.
struct RingEnergy {
  Eigen::VectorXcd poles;   ///< 1/s, Re < 0
  Eigen::MatrixXcd kernel;  ///< -B_kl / (q_k + q_l)
};
RingEnergy ring_energy(const Eigen::VectorXcd &poles, const Eigen::MatrixXcd &products);

/// Only the modes numbered `keep` (column numbers).
RingEnergy part_of(const RingEnergy &all, const std::vector<Eigen::Index> &keep);

/// E(t), (unit of v)^2 s.
double energy_after(const RingEnergy &energy, double t);

/// Centre time: integral of t v^2 over integral of v^2, s (the t_S of ISO 3382-1, from memory, on vibration).
double centre_time(const RingEnergy &energy);

/// First t with E(t) <= part * E(0), s; 0 < part < 1. NaN when there is no energy at all.
double time_until(const RingEnergy &energy, double part);

/// Decay time by a straight line through the Schroeder curve, 10 lg E, from -5 dB on, stretched to 60 dB.
struct DecayFit {
  double t20 = 0;        ///< s, line from -5 to -25 dB
  double t30 = 0;        ///< s, line from -5 to -35 dB
  double curvature = 0;  ///< t30 / t20 - 1: above 0 when a slow tail follows a fast start
  bool bent = false;     ///< |curvature| > 0.1, the limit of ISO 3382-2 (from memory): no single decay time tells it
};

/// Least squares on 201 evenly spaced times. NaN when there is no energy.
DecayFit fit_decay(const RingEnergy &energy);

}  // namespace stillbox
