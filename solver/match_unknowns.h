// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

/// What may be unknown about a case when its frequencies are set against heard ones. Each is a factor on what the case
/// says: of all moduli of a material together, of one of its engineering constants with the others and Poisson's ratios
/// nu12, nu13, nu23 held, of its density, or of both stiffnesses of a bond.
struct MatchUnknown {
  enum class Kind {
    modulus,           ///< the whole stress law
    in_plane_modulus,  ///< E1, E2 and G12 together (transversely isotropic boards)
    along_modulus,     ///< E1
    across_modulus,    ///< E2
    in_plane_shear,    ///< G12
    through_shear,     ///< G13 and G23 together
    density,
    bond_stiffness
  };
  Kind kind = Kind::modulus;
  int material = -1;           ///< index into Structure::materials; -1 for a bond
  std::string bond;            ///< all bonds of this name change together
  std::string name;            ///< "modulus of mdf"
  double low = 0.5, high = 2;  ///< bounds of the factor, 0 < low <= 1 <= high
};

/// The constants of an orthotropic law: inverse of orthotropic_law.
OrthotropicConstants constants_of(const StressLaw &law);

/// The law of a material with the unknowns at `ln_factors` (one per unknown, 0 is the start), and its derivatives by
/// them: dC = -C dS C with S the compliance. Unknowns of other materials have a derivative of zero.
/// Errors: std::domain_error when the constants do not fit together.
StressLaw law_with(const Structure &start, int material, const std::vector<MatchUnknown> &unknowns,
                   const Eigen::VectorXd &ln_factors, std::vector<StressLaw> *derivatives = nullptr);

/// The start with the unknowns at `ln_factors`. Errors: as law_with.
Structure structure_with(const Structure &start, const std::vector<MatchUnknown> &unknowns,
                         const Eigen::VectorXd &ln_factors);

}  // namespace stillbox
