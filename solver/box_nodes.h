// SPDX-License-Identifier: MIT
#pragma once
#include "mesh/box_form.h"
#include "solver/discretisation.h"

namespace stillbox {

/// Moves the nodes of the box's mesh to where they are in the shape. `unshifted`: their places in the box; `shifted`:
/// those after the grading at joints (joint_grading.h). Along edges nodes keep their share of the way; the faces of
/// boards and braces are spread as box_plates.h says, rims of cut-outs rigidly, planes of braces on their lines; wood
/// where walls meet is filled by the planes of constant depth in either wall. Rims of window openings, which are no
/// cut-outs of the shape's boards, are taken off the list.
/// Errors: MeshError when a cell is turned inside out or nearly so (scaled Jacobian below 0.1 at a Gauss point).
void move_to_shape(const BoxedShape &b, const HexMesh &mesh, const Eigen::Matrix<double, Eigen::Dynamic, 3> &shifted,
                   Discretisation &d);

}  // namespace stillbox
