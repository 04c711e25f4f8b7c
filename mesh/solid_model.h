// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "mesh/solids.h"
#include "mesh/structure.h"

namespace stillbox {

/// Makes Structure::solids in a new model of the running Gmsh session, in millimetres, and joins them so that boards
/// share the faces they touch. Returns the volumes of each board. Errors: MeshError that names the board.
std::vector<std::vector<int>> make_solid_model(const Structure &structure);

/// Makes the solids of each board alone, not joined to what they touch: their volumes by board. Errors: MeshError.
std::vector<std::vector<int>> make_board_solids(const Structure &structure);

/// Makes the one body within the outer faces of a [shape], chamfers cut away, cut-outs closed. Errors: MeshError.
void make_outside_model(const Structure &structure);

/// The solids with board_volume and chamber_volume filled in from the exact bodies; checks that all boards hang
/// together. Errors: MeshError: a board of which nothing is left, two that overlap, parts that do not touch.
std::shared_ptr<const Solids> measured_solids(const Structure &structure);

/// Writes the solids as STEP (ISO 10303-21), each with its board's name. Errors: MeshError.
void write_step(const Structure &structure, const std::string &path);

/// A full circle as a loop of three arcs.
ProfileLoop circle_loop(const Eigen::Vector2d &centre, double radius);

}  // namespace stillbox
