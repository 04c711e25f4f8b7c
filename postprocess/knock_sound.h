// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/knock_model.h"

namespace stillbox {

constexpr int sound_rate = 48000;  // 1/s

/// Sound pressure at `distance` (m) in the open from what the walls push out, as if it came from one point:
///   p(t) = rho a(t) / (4 pi r),   a: net outward volume acceleration of all outer walls, m3/s2, rho 1.2 kg/m3
/// (monopole, common textbook formula; the travel time r / c is left out). Good as long as k a < 1, see
/// point_source_limit. Above that walls shade each other, and modes whose walls cancel are heard all the same.
double monopole_pressure(double volume_acceleration, double distance);

/// Hz where k a = 1, with a the radius of the sphere that has the walls' area; c = 343 m/s.
double point_source_limit(const KnockModel &model);

/// Net outward volume acceleration, m3/s2, at `count` samples from the start of the contact, after a knock on point
/// `point`, from the elastic modes up to 20 kHz: during the contact
///   a = -2 Re sum over k of V_k phi_k / (2 p_k) [p_k F(t) + p_k^2 y_k(t)],
/// V_k the modes' net volume, phi_k their shape at the point, y_k of pulse_on_pole; afterwards each rings freely.
/// Left out: the terms in F' and in F'' (of the modes they sum to zero when all are in; of the residual they follow
/// the force without ringing) and the rigid motion, which pushes out nothing net but for the area of openings.
std::vector<double> volume_acceleration(const KnockModel &model, const KnockPulse &pulse, int point, std::size_t count);

/// A knock on one variant in the files.
struct SoundedKnock {
  std::string variant, wall;
  Eigen::Vector2d place{0, 0};  ///< m, board coordinates of the knock point taken
  double start = 0;             ///< s, from the start of both files
  double peak_pressure = 0;     ///< Pa, at 1 m
  double a_level = 0;           ///< dB re (20 uPa)^2 1 s: A-weighted energy of the first 200 ms
  double matched_gain = 0;      ///< dB added to the knock in the matched file beside equal force
  double off_spot = 0;          ///< m, how far the point lies from the base's
};

struct KnockSounds {
  std::vector<SoundedKnock> knocks;
  std::vector<double> equal_force;  ///< samples, full scale 1: one gain for all, so that differences stay true
  std::vector<double> matched;      ///< every knock with the same A-weighted energy in its first 200 ms
  double equal_gain = 0;            ///< full scale per Pa
  std::string why_none;             ///< why there is no sound; empty when there is
};

constexpr double sound_peak = -20;  // dB re full scale: the highest sample of either file

/// The spots: all points when the first model has at most three; else on each wall the point nearest to (0.4, 0.45) of
/// its outline, of which the three that sound loudest (A-weighted energy) in the first variant stay, a wall that is
/// another's mirror (level within 0.5 dB, area within 1 %) left out. Other variants are knocked on the same wall as
/// near as they have a point. Order: spot by spot, all variants after each other, 0.4 s between the variants, 1 s
/// between the spots; each knock until it has fallen by 60 dB, 0.4 to 3 s, faded over its last 20 ms. No sound for free
/// boards: both of their sides push air, so the formula does not hold.
KnockSounds knock_sounds(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                         const KnockPulse &pulse);

}  // namespace stillbox
