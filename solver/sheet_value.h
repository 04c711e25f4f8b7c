// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/damped_modes.h"
#include "solver/modes.h"
#include "solver/open_faces.h"

namespace stillbox {

// Where a thin damping sheet adds most loss to a mode, without solving again.
//
// A free layer of thickness h on a face of a board of thickness H leaves the mode's M-orthonormal shape as it is:
//   d eta = (eta2 - eta) k2 / lambda,  lambda = (2 pi f)^2,  with twice the sheet's strain energy
//   k2 = integral over the sheet of h Q(e) + h^3/12 Q(k) dA,
//   Q(e) = E2/(1 - nu2^2) (e1^2 + e2^2 + 2 nu2 e1 e2) + G2 g12^2   (isotropic sheet; any plane-stress law is taken)
// where k = (e_face - e_opposite) / H is the change of strain per metre through the board and e = e_face + h/2 k the
// strain in the middle of the sheet; for bending about the board's middle that is e_face (1 + h/H). The term -eta is
// there because the sheet also stiffens: the loss factor is the ratio of lost to stored energy. It is of first order
// in k2 / lambda. Source: Oberst's free layer to first order in E2/E, eta / eta2 = (E2/E) r (3 + 6 r + 4 r^2), r = h/H
// (Nashif, Jones and Henderson, Vibration Damping, 1985, from memory); for an orthotropic sheet grain 1 lies along the
// face's longer side.

/// What is laid: one layer of a material, on the modes with these places in the spectrum (from 0).
struct SheetRequest {
  Material material;
  double thickness = 0;  ///< m, > 0
  std::vector<int> modes;
};

struct SheetMode {
  int number = 0;        ///< from 1, as in the table of modes
  double frequency = 0;  ///< Hz
  double loss_factor = 0;
};

/// What a piece of sheet does: averages are over the modes asked for.
struct SheetGain {
  double area = 0, mass = 0;  ///< m2 of bare wood, kg
  double volume = 0;          ///< m3 of the cabinet's inside that it takes; 0 on a free board
  Eigen::VectorXd per_mode;   ///< added loss factor of each mode
  double added = 0;           ///< their mean
  double relative = 0;        ///< mean of added / the mode's own loss factor; NaN where a mode has none
  double per_kg() const { return mass > 0 ? added / mass : 0; }
};

/// One face. `value`: added loss factor per m2 in each rectangle of the raster, mean over the modes; its integral over
/// the bare wood is whole.added.
struct SheetFace {
  OpenFace face;
  std::string board, role;
  Eigen::VectorXd value;
  SheetGain whole;
  SheetGain best;                            ///< the best square decimetre, no longer than the face each way
  bool best_is_bare = true;                  ///< no cut-out and nothing glued within it; such places come first
  Eigen::Vector2d low{0, 0}, high{0, 0};     ///< of the best one, board coordinates, m
  Eigen::Vector2d centre{0, 0}, size{0, 0};  ///< the same as [across, up] of the case file, m
};

struct SheetValue {
  std::string case_name, variant_name;
  std::string material;
  double thickness = 0, density = 0;  ///< m, kg/m3
  bool has_cabinet = false;
  std::vector<SheetMode> modes;
  std::vector<SheetFace> faces;  ///< with some bare wood; by falling added loss per kg of the whole face
  /// Largest part (k2 / lambda) that any face's whole sheet adds to a mode's stiffness: the results leave out terms of
  /// this relative size.
  double stiffening = 0;

  double mass_per_area() const { return thickness * density; }
};

/// Side of the square that is looked for, m.
constexpr double square_side = 0.1;

/// `elastic`: the model's modes; `damped`: frequency and loss factor of each.
/// Errors: std::domain_error where the sheet's table does not cover a mode's frequency or the temperature.
SheetValue sheet_value(const Model &model, const EigenPairs &elastic, const std::vector<DampedMode> &damped,
                       const SheetRequest &request);

}  // namespace stillbox
