// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <functional>

#include "solver/half_sine.h"
#include "solver/knock_model.h"

namespace stillbox {

/// What is asked of the response: its spectrum over force is the receptance (m/N), mobility (m/s/N) or accelerance
/// (m/s2/N); of a wall's volume the same times m2.
enum class Motion { displacement, velocity, acceleration };

// Spectra per unit force by the formula of KnockModel, the residual (with its change over frequency where the model has
// it) and the rigid motions included. Force and
// motion are along the outward normals; a knock is a force of the opposite sign. Complex amplitudes to exp(i w t).
// `frequencies` in Hz, above 0 (at 0 a free case has no finite receptance or mobility).

/// How a mode's loss enters a spectrum. Near a resonance both are the same; far from any, and in the dips between
/// resonances, they differ by a part of the order of the loss factor.
///   ringing     KnockModel's formula, poles in conjugate pairs: what a decaying ring transforms to, real at zero
///               frequency. Goes with the time responses.
///   structural  x x / (lambda - w^2), a loss factor that does not change with frequency: the steady state that the
///               direct solution finds.
enum class Losses { ringing, structural };

/// Motion of all points for a force at `driven`: points x frequencies.
Eigen::MatrixXcd transfer_spectra(const KnockModel &model, Motion motion, int driven,
                                  const Eigen::VectorXd &frequencies, Losses losses = Losses::ringing);
/// Motion of every point for a force at that same point: points x frequencies.
Eigen::MatrixXcd drive_point_spectra(const KnockModel &model, Motion motion, const Eigen::VectorXd &frequencies,
                                     Losses losses = Losses::ringing);
/// Volume motion of all walls for a force at `driven`: walls x frequencies.
Eigen::MatrixXcd volume_spectra(const KnockModel &model, Motion motion, int driven, const Eigen::VectorXd &frequencies);

/// Instants k / rate, k = 0 .. count - 1.
struct TimeGrid {
  double rate = 48000;  ///< Hz
  int count = 48000;
};

// Response to a knock with the pulse (inwards: the minus is in the result), from rest, in closed form for each damped
// mode during and after contact. Motion is outwards positive.
//
// The residual follows the force without delay: displacement -R F(t). It is part of displacements only. Its velocity
// and acceleration would be -R F'(t) and -R F''(t), the latter with impulses R F'(0) at both ends of contact, because a
// half-sine begins and ends with a corner; a fingertip's does not, so those impulses are an artefact of the pulse, and
// after contact nothing of it remains. Velocity and acceleration are therefore those of the modes up to up_to and of
// the rigid motions: a knock as heard below up_to. Rigid motions give -Z Z' F(t) to the acceleration and leave a steady
// velocity behind, the drift of a free box; `with_rigid` = false leaves them out.
//
// In KnockModel's formula the sum of A_k and its conjugate is not quite 0 (it is of the order of the loss factor), so a
// velocity holds a part 2 Re(A) F(t) and an acceleration 2 Re(A) F'(t) during contact: kept, so that these are the
// exact transforms of the spectra.

/// Motion of all points for a knock at `driven`: instants x points.
Eigen::MatrixXd knock_response(const KnockModel &model, const KnockPulse &pulse, Motion motion, int driven,
                               const TimeGrid &grid, bool with_rigid = true);
/// Volume motion of all walls for a knock at `driven`: instants x walls.
Eigen::MatrixXd knock_volume_response(const KnockModel &model, const KnockPulse &pulse, Motion motion, int driven,
                                      const TimeGrid &grid, bool with_rigid = true);

/// A run of instants of the knocks at every point, each by itself. Single precision: about 1e-6 of the peak.
struct GridKnockBlock {
  int first = 0;           ///< first instant
  Eigen::MatrixXf drive;   ///< instants x points: acceleration (m/s2) of the point that is knocked
  Eigen::MatrixXf volume;  ///< instants x (walls * points): volume acceleration (m3/s2) of wall w for a knock at point
                           ///< s in column w * points + s; the sum over w is the net one
};

/// Knocks at every point, in runs of some hundred instants, shown to `use` one after another: what is only reduced need
/// not be kept. 200 points with six walls over one second: 67 million samples, about a second on one core.
void grid_knock(const KnockModel &model, const KnockPulse &pulse, const TimeGrid &grid,
                const std::function<void(const GridKnockBlock &)> &use, bool with_rigid = true);

/// Ringing of each mode right after the contact, for a knock at `driven` and motion at `response`: amplitude (m/s2) of
/// the acceleration b exp(Re p (t - contact)) |cos|; one per mode, from b = 2 |A p^2 I(contact)|.
Eigen::VectorXd ring_amplitudes(const KnockModel &model, const KnockPulse &pulse, int driven, int response);

}  // namespace stillbox
