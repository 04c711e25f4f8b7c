// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/structure.h"
#include "solver/knock_model.h"

namespace stillbox {

/// A knock is spread over a round patch of this radius, about a fingertip (see knock_samples.h), and its middle keeps
/// as far from every edge and cut-out, so that the patch lies on wood.
constexpr double knock_patch_radius = 0.005;  // m

/// The boards that can be knocked, as indices: the walls of a cabinet, bent ones too, or every free board where there
/// is no wall.
std::vector<int> knock_boards(const Structure &structure);

/// Distance (m) from a place on a board's outer face to the nearest edge of its outline, cut-out or piece of the face
/// that belongs to another board at a joint, or to a chamfer; not positive off the wood. Board coordinates (u, v). Of
/// the solids of a STEP file the outline is a rectangle around the wood: what of it is wood is asked of the file, and a
/// place nearer to an edge than knock_patch_radius has half of that.
double wood_clearance(const Structure &structure, int board, const Eigen::Vector2d &uv);

/// Points spread evenly over all boards that can be knocked: the middles of rectangles of one size as nearly as each
/// outline allows, so that each stands for about the same area; those nearer than knock_patch_radius to an edge are
/// left out, and the rectangles made smaller until at least `least` points remain (fewer only on boards so small that
/// the points would come closer than 1 mm). The same walls give the same points in every variant.
/// Errors: CaseError when no board has room for a point.
std::vector<KnockPoint> knock_grid(const Structure &structure, int least = 200);

/// A place that a user asked for, before it is looked up in a structure.
struct KnockSpot {
  std::string text;             ///< as given, for messages
  std::string wall;             ///< name of the wall or free board
  Eigen::Vector2d place{0, 0};  ///< m, from the low corner of the outline
};

/// "left, 120, 80": the wall's name, then two lengths in mm or with a unit ("left, 12 cm, 3 1/4 in"). Names may hold
/// commas. Errors: CaseError.
KnockSpot read_knock_spot(const std::string &text);

/// The spot on a structure. Errors: CaseError naming the text, the place and what is allowed when there is no such wall
/// or the place is off it, on a cut-out, or nearer than knock_patch_radius to an edge.
KnockPoint knock_point(const Structure &structure, const KnockSpot &spot);

}  // namespace stillbox
