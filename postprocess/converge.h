// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// What a row of three ever finer meshes tells: f(h) = limit + c h^order.
struct ObservedOrder {
  double order = 0;
  /// In the unit of f. Fineness refines in the plane of the boards only: on a box the limit keeps the error of the
  /// elements through the thickness and beside joints (0.5 % on a box of 18 mm board with degree 2).
  double limit = 0;
};

/// From f at the element sizes h (decreasing): the order p solves
///   (f0 - f1) / (f1 - f2) = (h0^p - h1^p) / (h1^p - h2^p),  limit = f2 - (f1 - f2) h2^p / (h1^p - h2^p).
/// Nothing when the differences change sign, are lost in rounding (1e-9 of f), sizes do not decrease, or p lies outside
/// 0.2 .. most: the meshes are then too coarse for the formula, or too alike.
/// Source: Richardson's extrapolation with unequal ratios, as in P.J. Roache, J. Fluids Eng. 116, 405 (1994), from
/// memory.
std::optional<ObservedOrder> observed_order(const double (&h)[3], const double (&f)[3], double most);

/// One mesh of the row.
struct ConvergeLevel {
  double fineness = 1;
  int degree = 3;
  int cells = 0, unknowns = 0;
  double size = 1;  ///< element size relative to the finest mesh: sqrt(its cells / cells), as the layers stay the same
};

struct ConvergedMode {
  std::string label;
  std::vector<double> frequency;          ///< Hz per level; NaN where no mode of this shape was found
  double estimated = 0;                   ///< relative error that the finest mesh estimates for itself
  std::optional<ObservedOrder> observed;  ///< of the last three levels, when only the size changes, by 10 % and more
};

struct Convergence {
  std::string case_name, variant_name;
  bool by_degree = false;
  std::vector<ConvergeLevel> levels;  ///< coarse to fine
  std::vector<ConvergedMode> modes;   ///< by the finest mesh
};

/// Puts together the results of the levels; modes are followed by their shape (MAC), from the finest mesh down.
Convergence convergence(const std::vector<ConvergeLevel> &levels, const std::vector<ModalResult> &results,
                        std::size_t most_modes);

/// A table of at most 110 columns with notes; CSV (one row per mode and level: mode, shape, fineness, degree, cells,
/// unknowns, frequency_hz, mesh_error_percent (finest only), order, limit_hz); JSON, schema "stillbox converge 1".
std::string converge_text(const Convergence &c);
std::string converge_csv(const Convergence &c);
std::string converge_json(const Convergence &c);

/// Error against the limit over element size, both logarithmic, as SVG; "" when no mode has a limit.
/// Errors: OutputError (gnuplot).
std::string converge_picture(const Convergence &c);

}  // namespace stillbox
