// SPDX-License-Identifier: MIT
#pragma once
#include "solver/outside_mesh.h"

namespace stillbox {

// Sound in the free space outside of a vibrating closed surface, by boundary elements. Time factor exp(+i w t), as in
// solver/knock_model.h: outgoing waves are exp(-i k r) / r, and with the outward normal n and normal velocity v
//   dp/dn = -i w rho v,    G = exp(-i k r) / (4 pi r).
// On the surface, with S and D the integral operators with the kernels G and dG/dny,
//   (1/2 - D) p = -S dp/dn,       and at points x inside   -D p = -S dp/dn.
// The first alone fails at the eigenfrequencies of the inside with p = 0 on the surface ("irregular frequencies"). So
// both are asked for, in the least-squares sense (Schenck's method, J. Acoust. Soc. Am. 44, 41-58, 1968; from memory):
// 60 points spread evenly over the inside by Halton's sequence, of the same total weight as all surface equations,
// weighted by area. A standing wave of the inside, or a mixture of those at nearly the same frequency, would have to
// vanish at all of them to escape (checked on the sphere up to its third pulsating one, ka = 3 pi). The combination
// with the normal derivative (Burton and Miller), with constant elements, is ten times less exact: see DEVELOPERS.md.
// Pressure is constant on each element and the surface equations hold at the middles of elements. What is in:
// diffraction around the box, the mutual influence of all walls. What is not: floor, room walls, stand, and the air's
// effect on the motion (see radiation_impedance for that).

/// Amplitudes per case: elements x cases.
struct SurfaceSound {
  OutsideAir air;
  double frequency = 0;       ///< Hz
  double k = 0;               ///< wave number, 1/m
  Eigen::MatrixXcd velocity;  ///< m/s outwards, mean over the element
  Eigen::MatrixXcd pressure;  ///< Pa
};

/// Pressure on the surface for given normal velocities (elements x cases). `frequency` > 0, finite; 9 elements a
/// wavelength (see elements_per_wave) are good for about 0.2 dB, 6 for 0.3 to 0.5 dB. Memory 32 bytes x elements^2;
/// time see DEVELOPERS.md. Errors: SolveError when the mesh is not closed with normals outwards, or when the equations
/// are singular.
SurfaceSound solve_outside(const SurfaceMesh &mesh, const OutsideAir &air, double frequency,
                           const Eigen::MatrixXcd &velocity);

/// Wavelength over the longest element side (diagonal / sqrt 2).
double elements_per_wave(const SurfaceMesh &mesh, const OutsideAir &air, double frequency);

/// Pressure (Pa) at points (points x 3) in the air: points x cases. Near the surface (less than an element's size) the
/// steps of the constant elements show.
Eigen::MatrixXcd pressure_at(const SurfaceMesh &mesh, const SurfaceSound &sound,
                             const Eigen::Matrix<double, Eigen::Dynamic, 3> &points);

/// Far field F (Pa m): p -> F(direction) exp(-i k r) / r with r the distance from `about`; directions x cases.
/// Directions are unit rows.
Eigen::MatrixXcd far_pressure(const SurfaceMesh &mesh, const SurfaceSound &sound,
                              const Eigen::Matrix<double, Eigen::Dynamic, 3> &directions, const Eigen::Vector3d &about);

/// Radiated power (W) per case, two ways: 1/2 Re sum of p conj(v) A over the surface, and the far field over all
/// directions, integral of |F|^2 / (2 rho c). The second is the better one: where little is radiated, the first is the
/// small difference of large numbers. Relative difference: how well the mesh does.
Eigen::VectorXd surface_power(const SurfaceMesh &mesh, const SurfaceSound &sound);
Eigen::VectorXd far_power(const SurfaceMesh &mesh, const SurfaceSound &sound);

/// Z: generalised force of the air's pressure against a unit velocity of shape j, on shape i,
///   Z(i, j) = integral of shape_i p_j dA = R + i X,    N s/m times the shapes' units squared,
/// for real shapes (elements x shapes, the normal velocity of each). Velocities a (shapes) of any phase radiate
/// 1/2 a^H R a; X / w is the mass of the air that swings along. Into an equation of motion it enters as + i w Z q.
/// R comes from the far field, so it is symmetric and never negative; X from the surface, made symmetric.
struct RadiationImpedance {
  Eigen::MatrixXcd z;  ///< shapes x shapes, symmetric
  double asymmetry =
      0;  ///< largest |X(i,j) - X(j,i)| over sqrt(|Z(i,i)| |Z(j,j)|): reciprocity, how well the mesh does
  Eigen::VectorXd energy;  ///< per shape: R(i,i) by the surface over that by the far field, minus 1
};
RadiationImpedance radiation_impedance(const SurfaceMesh &mesh, const SurfaceSound &sound,
                                       const Eigen::MatrixXd &shapes);

/// Directions over the sphere (unit rows) and weights that sum to 4 pi: Gauss-Legendre along the axis z with n points,
/// 2 n around it; exact for spherical harmonics up to the order 2 n - 1.
struct Directions {
  Eigen::Matrix<double, Eigen::Dynamic, 3> unit;
  Eigen::VectorXd weight;
};
Directions all_directions(int n);

}  // namespace stillbox
