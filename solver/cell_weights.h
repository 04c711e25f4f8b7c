// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <vector>

#include "solver/knock_samples.h"

namespace stillbox {

/// Entries of SampleColumns, (unknown, column, weight).
using WeightList = std::vector<Eigen::Triplet<double>>;

/// Adds weights on the displacement components of a cell's nodes (component fastest) as weights on the unknowns.
void add_cell_weights(const Model &model, int cell, const Eigen::VectorXd &weights, int column, WeightList &out);

/// The corners of a cell's local face (0..5: first direction low, high, second ...).
std::array<Eigen::Vector3d, 4> face_corners(const Discretisation &d, int cell, int face);

SampleColumns columns_from(const Model &model, int count, const WeightList &list);

}  // namespace stillbox
