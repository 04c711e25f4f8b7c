// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// A point on the outer face of a board where a knock lands or the response is asked.
struct KnockPoint {
  int face = 0;                     ///< index into ModalResult::faces, which holds the board's name, size and place
  Eigen::Vector2d place{0, 0};      ///< m, in board coordinates from the low corner of the outline
  Eigen::Vector3d at{0, 0, 0};      ///< m, world
  Eigen::Vector3d normal{0, 0, 1};  ///< outwards
};

/// Everything the response to a force normal to a wall needs, of one variant: the damped modes at the points, the
/// rigid ones, and the static flexibility of all that was left out. With forces and displacements along the outward
/// normals (a knock is a force of the opposite sign), the receptance from point s to point r is
///   H(w) = sum over k of [A_k / (i w - p_k) + conj(A_k) / (i w - conj(p_k))] + sum over rigid j of
///          rigid(r, j) rigid(s, j) / (i w)^2 + residual(r, s),     A_k = shapes(r, k) shapes(s, k) / (2 p_k),
/// p_k = i sqrt(lambda_k), lambda_k = (2 pi f)^2 (1 + i eta): each mode rings as exp(p_k t). Rows of `volume` in place
/// of a row of `shapes` give the volume displacement of a wall (m3, outwards) instead of a displacement.
struct KnockModel {
  std::string case_name, variant_name;
  std::vector<std::string> walls;  ///< names of the faces that count as outer walls, the order of `volume`'s rows
  std::vector<KnockPoint> points;
  double up_to = 0;                 ///< Hz: all modes up to here are in `poles`
  Eigen::VectorXcd poles;           ///< 1/s, real part < 0, imaginary part > 0
  Eigen::MatrixXcd shapes;          ///< points x modes, 1/sqrt(kg), x' M x = 1
  Eigen::MatrixXd rigid;            ///< points x rigid modes, 1/sqrt(kg); no columns when the case is held
  Eigen::MatrixXd residual;         ///< points x points, m/N: static flexibility of the modes left out
  Eigen::MatrixXcd volume;          ///< walls x modes, m2 1/sqrt(kg)
  Eigen::MatrixXd rigid_volume;     ///< walls x rigid modes
  Eigen::MatrixXd residual_volume;  ///< walls x points, m3/N
  std::vector<double> wall_area;    ///< m2 of wood per wall
  /// How the residual changes with frequency, for spectra only (empty: it does not). It adds, over all j,
  ///   upper(r, j) upper(s, j) [1 / (upper_lambda_j (1 + i upper_loss) - w^2) - 1 / upper_lambda_j],
  /// upper_volume in place of upper(r, j) for a wall: pseudo-modes above up_to, not modes of the structure.
  Eigen::VectorXd upper_lambda;  ///< 1/s2
  double upper_loss = 0;
  Eigen::MatrixXd upper;         ///< points x pseudo-modes, 1/sqrt(kg)
  Eigen::MatrixXd upper_volume;  ///< walls x pseudo-modes
};

/// A half-sine pulse: F(t) = peak sin(pi t / contact), 0 <= t <= contact, pushing inwards.
struct KnockPulse {
  double peak = 20;        ///< N
  double contact = 0.003;  ///< s
};

}  // namespace stillbox
