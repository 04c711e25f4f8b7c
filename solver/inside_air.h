// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <complex>
#include <functional>
#include <string>
#include <vector>

#include "solver/inside_field.h"
#include "solver/modes.h"

namespace stillbox {

// The air inside a cabinet, reduced to shapes phi_i: p = sum of a_i phi_i. With the walls' modes q and with x_d, the
// displacement of a cone or of the air in a port's mouth out of the cavity, and the time factor exp(+i w t):
//   sum_r [G_r / rho_r(f) - w^2 H_r / K_r(f)] a = w^2 (C q + sum of S_d mean_phi_d x_d)
//   (lambda_j (1 + i eta_j) - w^2) q_j - w^2 (rho R q)_j = forces + (C' a)_j
// G_r, H_r, rho_r, K_r: gradients, masses, fluid of the regions; C: wall_coupling; R: wall_residual, the mass of air
// that shapes left out carry along (rho that of plain air; a small correction, 0.1 % in frequency). Pressure pushes the
// walls outwards; walls that move outwards lower the pressure. The force of the air on a cone, out of the cavity, is
// S_d mean_phi_d' a.

/// kg/m3 and Pa, complex where the air loses energy.
struct AirFluid {
  std::complex<double> density, bulk_modulus;
};

/// A part of the inside with one fluid. Shapes are normalised so that the masses of all regions add up to the identity.
struct AirRegion {
  std::string name;           ///< "air", or that of the lining
  Eigen::MatrixXd gradients;  ///< int grad phi_i . grad phi_j dV, 1/m2
  Eigen::MatrixXd masses;     ///< int phi_i phi_j dV
  double volume = 0;          ///< m3
  std::function<AirFluid(double hz)> fluid;
};

/// A cut-out of a wall, also a closed one.
struct AirOpening {
  std::string name;
  Eigen::VectorXd mean_phi;  ///< mean of each phi over the mouth, 1/m^1.5: in the wall's inner face; of a port with a
                             ///< longer tube in the plane of its inner mouth
  double area = 0;           ///< m2, of the mouth
  bool has_driver = false;
  int port = -1;               ///< index into Structure::ports
  Eigen::VectorXd rim_motion;  ///< mean outward displacement of the rim in each wall mode, 1/sqrt(kg)
};

/// The reduced inside. The first `standing` shapes are the modes with rigid walls and plain air up to 1.5 times the top
/// frequency: none is missed, and the first, one for each chamber, is even pressure at 0 Hz. The shapes behind
/// them are not modes: with them the near field of each driver's and port's mouth and what linings change are followed
/// though higher modes are cut off; their frequencies are Rayleigh quotients.
struct InsideAir {
  double volume = 0;                ///< m3
  Eigen::VectorXd frequencies;      ///< Hz, of all shapes
  int standing = 0;                 ///< how many are modes
  int chambers = 1;                 ///< parts that no opening joins
  Eigen::VectorXd errors;           ///< estimated relative error of the modes' frequencies by the mesh
  std::vector<std::string> labels;  ///< "standing wave top-bottom, 1" ...
  std::vector<AirRegion> regions;   ///< plain air first
  /// Shapes x wall modes: int phi_i u_n dA over all faces of boards and sheets that touch the air, u_n out of the air,
  /// m^1.5 / sqrt(kg). Cut-outs of walls move with the mean of their rim, drivers as well:
  /// their cones are still relative to it. A port's cut-out moves no air by itself.
  Eigen::MatrixXd wall_coupling;
  Eigen::MatrixXd wall_residual;     ///< R, wall modes x wall modes, m4/kg; empty counts as zero
  std::vector<AirOpening> openings;  ///< one per cut-out of a wall
  OutsideAir air;                    ///< plain air at the case's temperature
};

struct InsideAirOptions {
  double up_to = 1000;  ///< Hz: the coupled modes are wanted up to here
  double fineness = 1;  ///< divides the element size
  double reach = 1.5;   ///< standing waves up to this times `up_to`
};

/// The inside of `structure` with rigid walls: wall_coupling has no columns. `field`: the mesh and the shapes, kept
/// when asked for. Errors: MeshError, SolveError.
InsideAir solve_inside_air(const Structure &structure, const InsideAirOptions &options, InsideField *field = nullptr);

/// The same coupled to wall modes: M-orthonormal columns over the model's unknowns, such as Spectrum::elastic.vectors.
InsideAir solve_inside_air(const Model &model, const Eigen::MatrixXd &vectors, const InsideAirOptions &options,
                           InsideField *field = nullptr);

}  // namespace stillbox
