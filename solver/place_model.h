// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <Eigen/Sparse>
#include <vector>

#include "solver/modes.h"

namespace stillbox {

// Modes of a structure of which one thing moves, such as a brace, at any place p of a row from a few full solutions.
//
// The structures at some Chebyshev points p_k of the row get meshes of the same cells (alike_meshes.h), so one vector
// of unknowns means the same motion in all of them. A basis V is made of the modes of full solutions at some of the
// p_k, the rigid motions, and corrections (K_s - sigma M_s)^-1 (K_k x - lambda M_k x) of the modes x found in V at
// others, with the factor of the nearest solution. V' K V and V' M V at the p_k are joined by rational functions of p.
// For bricks that are stretched by s_i(p), linear in p, K times the product of all s_i is a polynomial of low degree,
// so that K(p) is exact there; rings around cut-outs get further poles, found by trial. But for these the frequencies
// are upper bounds of those of the full model on the same mesh.

/// The modes at one place.
struct PlaceModes {
  Eigen::VectorXd frequency;    ///< Hz, increasing, up to the top frequency; rigid motions are left out
  Eigen::VectorXd loss_factor;  ///< energy method
  Eigen::MatrixXd samples;      ///< normal displacement at points of the walls (wall_samples) x modes
};

struct PlaceModel {
  double up_to = 0;                                    ///< Hz
  std::vector<double> nodes;                           ///< p_k, increasing, unit of the caller's
  std::vector<double> weight;                          ///< product of the stretches and poles at p_k
  Eigen::MatrixXd stretch;                             ///< s_i(p) = stretch(i, 0) + stretch(i, 1) p; poles after bricks
  std::vector<Eigen::MatrixXd> stiffness, mass, loss;  ///< n x n at p_k; loss empty when all has one loss factor
  double loss_factor = 0;                              ///< where `loss` is empty
  Eigen::MatrixXd samples;                             ///< points x n
  int rigid = 0;
  int factorisations = 0;    ///< those of places completed by corrections
  int solutions = 0;         ///< full solutions it took
  double interpolation = 0;  ///< greatest relative error of a frequency at two places held out
  double doubt = 0;          ///< largest relative change of a frequency at any p_k by the corrections
};

/// Chebyshev points of [low, high], ends included, increasing.
std::vector<double> place_nodes(double low, double high, int count);

/// Makes it from the structures at `nodes`, points of place_nodes, 9 or another 4 n + 1 of them. A full solution in the
/// middle; the ends are completed by a factorisation and corrections, their modes counted by the inertia; the other
/// even ones get corrections. As long as `doubt` is above the tolerance, the place where it is worst is completed, too.
/// The rational functions go through the even nodes, the second and the last but one; through all when they are off by
/// more than 0.05 % at either of these two, held out. Errors: MeshError when they are still off by more than 0.5 %
/// there, or when the structures cannot have meshes that are alike; SolveError.
PlaceModel make_place_model(const std::vector<Structure> &structures, const std::vector<double> &nodes,
                            const SolveOptions &options, double tolerance = 2e-2);

/// Modes at p within the row.
PlaceModes place_modes(const PlaceModel &model, double p);

/// The same by a full solution on a mesh of its own.
PlaceModes place_modes_in_full(const Structure &structure, const SolveOptions &options);

/// Weights (unknowns x points) of the outward displacement at 4 x 4 points spread over the outer face of each wall and
/// free board, in the order of the boards; no weights where a cut-out leaves no wood.
Eigen::SparseMatrix<double> wall_samples(const Model &model);

}  // namespace stillbox
