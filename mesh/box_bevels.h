// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/box_form.h"
#include "mesh/grid.h"

namespace stillbox {

// Internal to box_form: bevelled edges.

/// What keeps a cabinet from being a box, in words that follow "because".
struct NoBox {
  std::string why;
};

/// The bevels of the form as notches of the box (BoxBevel). Errors: NoBox where one reaches over the thickness of a
/// wall or two are not parallel.
void add_bevels(BoxedShape &b, const BoxForm &form);

/// Leaves the notches out of the grid, at lines of their own in place of the walls' ones near their inner faces.
void cut_notches(const BoxedShape &b, Grid &grid);

}  // namespace stillbox
