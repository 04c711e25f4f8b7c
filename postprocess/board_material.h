// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/material.h"

namespace stillbox {

/// The engineering constants of a material's law, and which kind of table in a case file describes it.
struct BoardBase {
  std::string name;
  enum class Kind { isotropic, transversely_isotropic, orthotropic } kind = Kind::isotropic;
  OrthotropicConstants constants{};
  double density = 0, loss_factor = 0;
};

/// From the inverse of the law, S: e_i = 1 / S_ii, nu_ij = -S_ij e_i, g = 1 / S_44 ...; the kind by whether the
/// constants obey it within 1e-6. Errors: std::domain_error for a material tabled over frequency.
BoardBase board_base(const Material &material);

/// A board's material as found.
struct BoardMaterial {
  std::string name;
  BoardBase base;                  ///< with the found constants in place of the typical ones
  std::string found;               ///< what was found and how, for comments and `source`
  std::string typical;             ///< what is a typical ratio of the base
  double modulus_tolerance = 0.1;  ///< relative
  double density_tolerance = 0.01;
};

/// The constants of `base` scaled so that its modulus along (or, when `across`, across) the grain is `modulus` (Pa):
/// all moduli by the same factor, Poisson's ratios kept.
BoardBase scaled(const BoardBase &base, double modulus, bool across);

/// The piece that was tapped, m and kg.
struct TappedPiece {
  bool is_plate = false;
  double length = 0, width = 0, thickness = 0, mass = 0;
};

/// schema "stillbox board 1"; piece {shape, length_mm, width_mm, thickness_mm, mass_kg}; material {name, kind, found,
/// typical, youngs_modulus_gpa [along, across, through], shear_modulus_gpa [along across, along through, across
/// through], poissons_ratio [the same], density_kg_m3, loss_factor, modulus_tolerance_percent,
/// density_tolerance_percent}; case_file: the text of material_block(). Tolerances are two standard deviations.
std::string board_json(const TappedPiece &piece, const BoardMaterial &material);

/// A table [material."NAME"] in the form of a case file (see `stillbox keys`) with comments.
std::string material_block(const BoardMaterial &material);

}  // namespace stillbox
