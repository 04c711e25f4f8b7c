// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <optional>
#include <vector>

#include "mesh/case_build.h"
#include "mesh/solids.h"

namespace stillbox {

// Internal to the case-file reader: cabinets as solids.

/// [shape]: walls, braces and their cut-outs. (case_shape.cpp)
void read_shape(Build &b);

/// The keys of all walls of a [shape] with those of one laid over them. (case_shape.cpp)
Node shape_wall_node(const Reader &shape, const std::string &name);

/// The room inside the rims of a window; see room_within.
using RoomInside =
    std::function<std::optional<SolidBody>(const std::vector<double> &rims, int axis, double low, double high)>;

/// Braces of a [shape], added to its boards and bodies. (case_shape_braces.cpp)
struct ShapedCabinet;
void read_shape_braces(Build &b, const Reader &shape, ShapedCabinet &cabinet, const RoomInside &room_inside);

/// What cut-outs of walls and braces in a [shape] must stay clear of. (case_shape_cut_outs.cpp)
void check_shape_cut_outs(Build &b, const ShapedCabinet &cabinet);

/// [solids]: a STEP file with materials by name or layer, and cut-outs. (case_solids.cpp)
void read_step_solids(Build &b);

/// True when the tree is of one of the two; what does not go with them is refused then. (case_solids.cpp)
bool is_of_solids(Build &b);

/// Measures the solids and reports what does not fit together. (case_solids.cpp)
void measure(Build &b);

}  // namespace stillbox
