// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

namespace stillbox {

/// A free rectangular plate in SI units; x runs along `length`.
struct FreePlate {
  double length = 0, width = 0, thickness = 0;  ///< m
  double mass = 0;                              ///< kg
};

/// Moduli of an orthotropic plate with its axes along the edges.
struct PlateModuli {
  double ex = 0, ey = 0, gxy = 0;  ///< Pa
  double nu_xy = 0;                ///< -strain y / strain x under stress along x; nu_yx = nu_xy ey / ex
  double gxz = 0, gyz = 0;         ///< Pa, between the plane and the thickness
};

struct PlateMode {
  double frequency = 0;  ///< Hz
  /// d ln f / d ln of ex, ey, gxy, gxz, gyz, with nu_xy held: exact, from the strain energies of the mode.
  Eigen::Matrix<double, 5, 1> sensitivity = Eigen::Matrix<double, 5, 1>::Zero();
  int nodes_x = 0, nodes_y = 0;  ///< the product P_m(x) P_n(y) that holds most of the deflection: (2,0) bends along x
  double purity = 0;             ///< its share of the deflection's mean square, 0 .. 1
  Eigen::MatrixXd shares;        ///< of all products, rows m, columns n
};

/// The bending modes 1 .. count of a free orthotropic plate by Mindlin's theory (shear coefficient 5/6, rotary
/// inertia), R.D. Mindlin, J. Appl. Mech. 18, 31-38, 1951 (from memory), by a Ritz series of products of Legendre
/// polynomials up to `degree` in each direction for the deflection and both rotations; the four symmetry classes apart.
/// Frequencies are upper bounds of the theory's: degree 14 lies within 0.06 % of degree 24 on a board 6 mm thick and
/// 400 x 320 mm (the layer along the edges in which thin plates twist is what asks for more), within 0.001 % when it is
/// 18 mm thick.
/// Errors: std::domain_error unless sizes, mass and moduli are above 0 and nu_xy^2 ey / ex < 1.
std::vector<PlateMode> plate_modes(const FreePlate &plate, const PlateModuli &moduli, int count, int degree = 14);

}  // namespace stillbox
