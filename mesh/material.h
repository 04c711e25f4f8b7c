// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <complex>
#include <optional>
#include <string>

#include "mesh/viscoelastic.h"

namespace stillbox {

/// 6x6 stress law in Voigt order 11, 22, 33, 23, 13, 12 with engineering shear strains, in Pa.
/// Material axes: 1 along the grain, 2 across the grain in the plane of the board, 3 through the thickness.
using StressLaw = Eigen::Matrix<double, 6, 6>;

/// A board, sheet or metal with everything the solver needs, in SI units.
struct Material {
  std::string name;
  StressLaw law = StressLaw::Zero();
  double density = 0;            ///< kg/m3, > 0
  double loss_factor = 0;        ///< material loss factor, 0 .. 2; with a table the one that belongs to `law`
  double modulus_tolerance = 0;  ///< relative spread of all moduli together, e.g. 0.15
  double density_tolerance = 0;  ///< relative spread of the density
  std::string source;            ///< where the figures come from, shown to the user
  /// Isotropic materials only: the modulus over frequency and temperature. `law` is then the one at `law_frequency` and
  /// the case's temperature, and Poisson's ratio is real and constant.
  std::optional<Viscoelastic> viscoelastic;
  double law_frequency = 0;  ///< Hz; 0 without a table
  double law_modulus = 0;    ///< Pa: the storage modulus `law` was built with, of the table's kind; 0 without a table
};

/// What `law` is to be multiplied by at a frequency (Hz) and temperature (degrees C) to give the complex law: with a
/// table M(f, T) (1 + i eta(f, T)) / law_modulus, without one 1 + i loss_factor at every frequency and temperature.
/// Errors: std::domain_error that names the material, where its table does not apply (see `at` in viscoelastic.h).
std::complex<double> law_scale(const Material &material, double frequency, double temperature);

/// The nine engineering constants of an orthotropic body (Pa; nu_ij = -strain_j / strain_i under stress i).
struct OrthotropicConstants {
  double e1, e2, e3;
  double nu12, nu13, nu23;
  double g12, g13, g23;
};

/// Stress law C = S^-1 with S the orthotropic compliance: S_ii = 1/E_i, S_12 = -nu12/E1, S_44 = 1/G23, ...
/// Errors: std::domain_error when the compliance is not positive definite.
/// Source: any text on anisotropic elasticity, e.g. Lekhnitskii, Theory of Elasticity of an Anisotropic Body.
StressLaw orthotropic_law(const OrthotropicConstants &c);

/// Isotropic law from Young's modulus E (Pa, > 0) and Poisson's ratio nu (-1 < nu < 0.5), G = E / 2(1 + nu).
StressLaw isotropic_law(double youngs_modulus, double poissons_ratio);

/// True when all eigenvalues of the symmetric law are positive.
bool is_positive_definite(const StressLaw &law);

/// The law seen from axes in which material axis 1 lies at `angle` (rad) from axis 1 towards axis 2 (rotation about
/// axis 3).
StressLaw rotate_about_normal(const StressLaw &law, double angle);

/// The law carried from local axes (columns of `axes`: local 1, 2, 3 in world coordinates, orthonormal) to world axes.
StressLaw to_world(const StressLaw &law, const Eigen::Matrix3d &axes);

}  // namespace stillbox
