// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

// A cabinet whose form is that of a box beside that box. Places in the box are told by three coordinates, each of which
// lies in the room or in one of the two walls across its axis; here is where such places are in the cabinet, wherever
// at least two coordinates lie within walls or on their inner faces: along its edges.

/// Where a coordinate of the box lies: in the room (side 0) or in the wall at its low (-1) or high (+1) end.
struct Strip {
  int side = 0;
  double depth = 0;  ///< 0 at the inner face of the wall, 1 at the outer one
};
using Strips = std::array<Strip, 3>;

/// Where two walls meet, each at its inner or outer face, from the inner face of a third wall to that of a fourth.
struct BoxEdge {
  Eigen::Vector3d from{0, 0, 0}, to{0, 0, 0};
  int chart = -1;  ///< the bent board along which it runs: even in that board's coordinates; -1: a straight line
  Eigen::Vector3d chart_from{0, 0, 0}, chart_to{0, 0, 0};
};

/// A bevelled edge between two walls. In the box it is a notch: wood of both walls beyond a line of the mesh in either
/// is left out, and the notch's two sides are laid into the plane of the bevel.
struct BoxBevel {
  std::array<int, 2> axis{}, side{};  ///< of the two walls
  std::array<double, 2> line{};       ///< depth of the notch's line in either wall, 0 inner face, 1 outer
  std::array<double, 2> cut{};        ///< depth in either wall at which the bevel leaves the other's outer face
};

struct BoxEdges {
  const Structure *shape = nullptr;
  std::array<int, 6> wall{};  ///< boards at x low, x high, y low, y high, z low, z high of the box
  Eigen::Vector3d inner_low{0, 0, 0}, inner_high{0, 0, 0};  ///< the room of the box, m
  std::array<double, 6> thickness{};                        ///< of the walls, m
  /// By axis and by the sides of the two other axes (in order, low first): knots of the box's coordinate, and the parts
  /// of the edge that lie below them. Planes of braces are knots.
  std::array<std::vector<double>, 3> knots;
  std::array<std::array<std::vector<double>, 4>, 3> parts;
  std::vector<BoxBevel> bevels;

  const Board &board_at(int axis, int side) const { return shape->boards[std::size_t(wall_at(axis, side))]; }
  int wall_at(int axis, int side) const { return wall[std::size_t(2 * axis + (side > 0 ? 1 : 0))]; }
};

/// Which strips a place of the box lies in; what lies on an inner face counts as the room.
Strips strips_of(const BoxEdges &edges, const Eigen::Vector3d &x);

/// Where three walls meet, each at its depth.
Eigen::Vector3d corner_of(const BoxEdges &edges, const Strips &strips);

/// The edge along `axis`; sides and depths (0 or 1) of the other two from `strips`.
BoxEdge edge_of(const BoxEdges &edges, int axis, const Strips &strips);
/// The place on it at a part 0 .. 1 of its way.
Eigen::Vector3d place_on(const BoxEdges &edges, const BoxEdge &edge, double part);
double length_of(const BoxEdge &edge);
/// The part of the edge below a coordinate of the box.
double part_at(const BoxEdges &edges, int axis, const Strips &strips, double x);

/// The place on an edge at a coordinate of the box, also in the coordinates of the bent board along which it runs. On
/// an inner edge (both depths 0) nodes keep their part of the way. Those of an outer edge lie square to them; what the
/// ends lean dies away within `lean_reach` thicknesses of the walls, or further where they lean much.
struct EdgePlace {
  int chart = -1;
  Eigen::Vector3d coordinates{0, 0, 0}, at{0, 0, 0};
};
EdgePlace place_at(const BoxEdges &edges, int axis, const Strips &strips, double x);
constexpr double lean_reach = 0.7;     ///< thicknesses
constexpr double steepest_lean = 1.6;  ///< the reach is at least so many times the lean: lines must not cross

/// Where two upright walls (or lids) at depths below 0, in the room, meet a level plane: corners of openings narrower
/// than the room. `start`: a place near by.
Eigen::Vector3d meet_in_room(const Board &first, double depth_first, const Board &second, double depth_second,
                             const Board &level, const Eigen::Vector3d &start);

/// A place with at least two coordinates within walls.
Eigen::Vector3d place_in_block(const BoxEdges &edges, const Eigen::Vector3d &x);

}  // namespace stillbox
