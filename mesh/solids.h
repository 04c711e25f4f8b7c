// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace stillbox {

// Cabinets that are not shoe boxes: boards as solids of any shape, described here, made and cut by Gmsh's OpenCASCADE
// kernel (solid_model.h) and meshed with tetrahedra (tet_mesh.h). Everything in metres.

/// One edge of a profile, from its corner to that of the next edge: straight, or an arc of less than half a turn about
/// `centre`.
struct ProfileEdge {
  Eigen::Vector2d from{0, 0};
  bool is_arc = false;
  Eigen::Vector2d centre{0, 0};
};
using ProfileLoop = std::vector<ProfileEdge>;

/// A body with flat faces, or a profile (outer loop, then holes) in the plane (origin, u, v) raised along u x v.
struct SolidBody {
  int board = -1;  ///< index into Structure::boards
  std::vector<Eigen::Vector3d> corners;
  std::vector<std::vector<int>> faces;  ///< corners of each face in order
  std::vector<ProfileLoop> profile;
  Eigen::Vector3d origin{0, 0, 0}, u{1, 0, 0}, v{0, 1, 0};
  double height = 0;
  int within = -1;  ///< only what of it lies in this one of Solids::rooms counts
};

/// A cabinet whose form is that of a box: boards 0 .. 3 are its upright walls in turn, the first in front, 4 the top, 5
/// the bottom. Such a one can be made of hexahedra (box_form.h).
struct BoxForm {
  std::vector<int> rank;  ///< of boards 0 .. 5: at a butt joint the lower one runs through
  bool mitred = false;    ///< the corners between upright walls
  struct Window {
    int board = 0;  ///< a brace
    double rim = 0;
    std::vector<double> rims;  ///< m by wall: `rim`, or 0 above and below the brace
  };
  std::vector<Window> windows;
  struct Bevel {
    int first = 0, second = 0;  ///< boards
    double a = 0, b = 0;        ///< m from the outer edge over the first and the second
  };
  std::vector<Bevel> bevels;
};

struct Solids {
  std::vector<SolidBody> bodies;           ///< the boards; cut-outs of the boards are taken out of them
  std::vector<SolidBody> rooms;            ///< first the room the walls enclose, then smaller ones that openings fill
  std::vector<SolidBody> openings;         ///< taken out of their board
  SolidBody outside;                       ///< of a [shape]: everything within the outer faces, before cuts
  std::vector<SolidBody> cuts;             ///< taken out of every wall: chamfers
  std::string step_file;                   ///< instead of bodies
  std::vector<int> step_board;             ///< board of each solid of the file, in its order
  std::vector<std::pair<int, int>> drawn;  ///< (board, cut-out) that the file's solids have already
  /// Planes (point, unit normal outwards) of outside faces besides the outer faces of walls: chamfers.
  std::vector<std::pair<Eigen::Vector3d, Eigen::Vector3d>> outer_planes;
  std::optional<BoxForm> box_form;
  std::string no_box;  ///< why there is none, in words that follow "because"
  // Measured from the exact solids when the case is read:
  std::vector<double> board_volume;    ///< m3, by board
  std::vector<double> chamber_volume;  ///< m3 of each room inside, braces taken off; empty where it is not known
};

}  // namespace stillbox
