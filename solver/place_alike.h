// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/joint_grading.h"
#include "solver/modes.h"

namespace stillbox {

// Internal to place_model: the structures of a row, all on meshes of the same cells.

/// Models are built when they are needed, as they are large.
struct AlikeModels {
  const std::vector<Structure> &structures;
  SolveOptions options;
  std::vector<HexMesh> meshes;
  JointNodes joints;  ///< of all: looked up in the middle one
  int unknowns = 0;

  /// Errors: MeshError when the structures cannot have such meshes.
  AlikeModels(const std::vector<Structure> &list, const SolveOptions &options);

  /// All but the matrices. Errors: MeshError.
  Model without_matrices(int k) const;

  /// Errors: MeshError, SolveError.
  Model model(int k) const;
};

/// The three matrices of a place, reduced to the columns of V.
struct ReducedModel {
  Eigen::MatrixXd stiffness, mass;
  Eigen::MatrixXd loss;  ///< V' K V if every part's modulus were its loss factor times it; empty unless asked for
};
ReducedModel reduced_model(const Model &without_matrices, const Eigen::MatrixXd &V, bool with_loss);

}  // namespace stillbox
