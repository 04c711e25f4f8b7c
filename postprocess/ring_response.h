// SPDX-License-Identifier: MIT
#pragma once
#include <complex>

#include "solver/half_sine.h"
#include "solver/knock_model.h"

namespace stillbox {

/// The damped modes of a KnockModel as one sum of exponentials: column k is mode k, column m + k its conjugate, so
/// that responses come out real by themselves (up to rounding). Rigid modes and the residual are not here: after the
/// contact they do not ring.
struct RingModes {
  Eigen::VectorXcd poles;     ///< 1/s, 2 m of them
  Eigen::MatrixXcd shapes;    ///< points x 2 m, 1/sqrt(kg)
  Eigen::VectorXcd outwards;  ///< 2 m: net volume displacement of all walls, m2 1/sqrt(kg); empty without walls
};
RingModes ring_modes(const KnockModel &model);

/// Smooth envelope of the pulse's spectrum at a frequency (Hz), N s. The spectrum of a half-sine is
///   |F| = 2 peak W |cos(w contact / 2)| / |W^2 - w^2|,  W = pi / contact   (common textbook form);
/// above 1 / contact the cosine makes gaps at 1.5, 2.5, ... / contact, and the envelope is |F| without it. Up to
/// 1 / contact it is |F|. A real knock has gaps as well, but not as deep, and elsewhere.
double pulse_envelope(const KnockPulse &pulse, double frequency);

/// g_k = -y_k(contact) / (2 q_k) with y the pulse convolved with exp(q t) (pulse_on_pole): after a knock (a force of -F
/// along the outward normal) on point s, point r moves as
///   x(t) = sum over k of shapes(r, k) shapes(s, k) g_k exp(q_k t),   m, t from the end of contact.
/// Velocity and acceleration have g_k q_k and g_k q_k^2 in place of g_k.
Eigen::VectorXcd after_contact(const RingModes &modes, const KnockPulse &pulse);

}  // namespace stillbox
