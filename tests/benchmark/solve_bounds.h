// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/structure.h"
#include "solver/modes.h"
#include "tests/benchmark/figures.h"

namespace stillbox {

/// Bytes that one thread reads from memory in a second: the best of five passes over an array of `bytes`, which should
/// be much larger than the caches.
double measure_bandwidth(double bytes);

/// What a run up to options.up_to cannot do without, measured in this process: K - (2 pi up_to)^2 M factorised, and
/// `right_hand_sides` random loads solved for, one at a time and `block` at a time. Two kinds of factor, both kept in
/// memory: of the matrix as it is, and with the unknowns of single cells condensed as the program does. Errors:
/// MeshError, SolveError.
SolveBounds measure_solve_bounds(const Structure &structure, const SolveOptions &options, int right_hand_sides = 60,
                                 int block = 6);

}  // namespace stillbox
