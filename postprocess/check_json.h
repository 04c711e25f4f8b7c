// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/board_list.h"
#include "solver/sheet_value.h"

namespace stillbox {

/// What `check` tells of a variant.
struct CheckedVariant {
  std::string name;
  std::vector<BoardLine> boards;
  double fittings = 0;             ///< kg
  double inner = 0;                ///< m3; 0 without a cabinet
  std::vector<double> chambers{};  ///< m3, of a [shape]: the rooms that make up `inner`, largest first
};

/// What `mesh` tells of a variant.
struct MeshedVariant {
  std::string name, file;
  long cells = 0, unknowns = 0;
  int degree = 0;
  double least_jacobian = 0, mass = 0, mass_expected = 0;  ///< 1, kg, kg: of the mesh and of the description
  bool tetrahedra = false;
};

/// schema "stillbox check 1"; case; variants[] {name, mass_kg (with fittings), fittings_kg, inner_volume_l (null
/// without a cabinet), boards[] {name, use, material, grain, across_mm, up_mm, thickness_mm, mass_kg, cut_outs[]}}
std::string check_json(const std::string &case_name, const std::vector<CheckedVariant> &variants);

/// schema "stillbox mesh 1"; case; variants[] {name, elements ("hexahedra" | "tetrahedra"), cells, degree, unknowns,
/// least_scaled_jacobian, mass_kg, mass_expected_kg, file}
std::string mesh_json(const std::string &case_name, const std::vector<MeshedVariant> &variants);

/// schema "stillbox sheet 1"; case; nature; sheet {material, thickness_mm, density_kg_m3}; variants[] {name, stiffening
/// (see SheetValue), modes[] {mode, frequency_hz, loss_factor}, faces[] by falling added loss per kg {board, face,
/// whole, best, best_centre_mm, best_size_mm, best_is_clear}}; whole and best {area_m2, mass_kg, litres_lost,
/// added_loss (mean over the modes), added_loss_by_mode[], added_loss_per_kg, gain_percent (null where a mode has no
/// loss of its own)}
std::string sheet_value_json(const std::vector<SheetValue> &variants);

}  // namespace stillbox
