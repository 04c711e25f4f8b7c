// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <string>
#include <vector>

#include "solver/match_unknowns.h"
#include "solver/modes.h"

namespace stillbox {

/// A model projected on its own modes V (n of them, M-orthonormal) at one set of factors, as a function of the
/// unknowns:
///   K(p) = K_0 + sum over materials m of sum over ab of C_ab,m(p) P_ab,m + sum over bonds of factor B,
///   M(p) = M_0 + sum over materials of density(p) Q_m,
/// P_ab,m = integral over m of strain_a' strain_b (and its mirror) in material axes, Q_m = integral of u' u, all n x n.
/// Exact at the factors it was made at, with exact derivatives there, and at those the further modes belong to; away
/// from them its frequencies are too high by a part of second order in the change, as the true shapes leave the span of
/// V. Rigid motions of a free structure are eliminated exactly when the mass changes.
struct ReducedModel {
  static constexpr int entries = 9;
  static constexpr std::array<std::pair<int, int>, entries> entry{
      {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {0, 2}, {1, 2}, {3, 3}, {4, 4}, {5, 5}}};  ///< of an orthotropic law

  struct MassPart {
    Eigen::MatrixXd elastic, cross, rigid;  ///< n x n, r x n, r x r
  };
  struct MaterialPart {
    int material = 0;
    std::array<Eigen::MatrixXd, entries> strain;  ///< P_ab, Pa^-1 of stiffness
    MassPart mass;                                ///< at unit density
  };
  struct BondPart {
    std::string name;
    Eigen::MatrixXd stiffness;  ///< at the start's stiffnesses
  };
  struct WallPart {
    int board = 0;
    Eigen::MatrixXd mass;  ///< n x n: kinetic energy of this board, densities as the model was made
  };

  const Structure *start = nullptr;  ///< factors of 1; must outlive this
  std::vector<MatchUnknown> unknowns;
  Eigen::VectorXd ln_factors;  ///< at which it was made
  Eigen::VectorXd lambda;      ///< eigenvalues there, increasing: of the first columns of V
  Eigen::MatrixXd stiffness;   ///< K_0, n x n
  MassPart mass;               ///< M_0
  std::vector<MaterialPart> materials;
  std::vector<BondPart> bonds;
  std::vector<WallPart> walls;
};

/// Makes it from a solved model; `model` was assembled for structure_with(start, unknowns, ln_factors). `boards`: those
/// whose share of the kinetic energy will be asked for. `further`: modes of other factors on the same mesh (unknowns x
/// any number); what is in the span of the others already is dropped.
ReducedModel make_reduced_model(const Structure &start, const std::vector<MatchUnknown> &unknowns,
                                const Eigen::VectorXd &ln_factors, const Model &model, const Spectrum &spectrum,
                                const std::vector<int> &boards, const Eigen::MatrixXd &further = {});

struct ReducedModes {
  Eigen::VectorXd frequency;  ///< Hz, n, increasing
  Eigen::MatrixXd vectors;    ///< n x n: columns in terms of V, M(p)-orthonormal
  Eigen::MatrixXd slope;      ///< n x unknowns: d ln f / d ln factor, exact for the reduced problem (simple modes)
};

/// Solves the reduced problem. Errors: std::domain_error (see law_with), SolveError when it is not positive definite.
ReducedModes reduced_modes(const ReducedModel &model, const Eigen::VectorXd &ln_factors);

/// Share of a board in the kinetic energy of each mode (walls x modes), 0 .. 1, with the densities the model was made
/// with.
Eigen::MatrixXd wall_shares(const ReducedModel &model, const ReducedModes &modes);

}  // namespace stillbox
