// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "mesh/material.h"

namespace stillbox {

// What is to be meshed: boards in space, what is cut out of them, what is fixed to them and what holds them.
// Everything is in SI units. World axes of a cabinet: x = width (left to right, seen from the front),
// y = depth (front to back), z = height (up); the origin is the outer front lower left corner.

/// One layer of a board. Layers are stacked along the board's normal, starting at the plane of the outline.
struct Layer {
  int material = 0;        ///< index into Structure::materials
  double thickness = 0;    ///< m, > 0
  double grain_angle = 0;  ///< rad, from the board's u axis towards its v axis
};

enum class CutOutShape { round, rectangle, slot };

/// A through hole of a board; a slot has semicircular ends. An `opening` is a rectangle of a window brace that
/// other braces may pass through.
struct CutOut {
  std::string name;
  CutOutShape shape = CutOutShape::round;
  Eigen::Vector2d centre{0, 0};  ///< board coordinates u, v
  double width = 0;              ///< extent along u (the diameter for a round one), m
  double height = 0;             ///< extent along v (the diameter for a round one), m
  bool opening = false;
  /// A round one, or a slot as wide as it is high.
  bool is_circle() const {
    return shape == CutOutShape::round || (shape == CutOutShape::slot && std::abs(width - height) < 2e-6);
  }
};

enum class BoardRole { wall, brace, sheet, free };

/// The sides of a board's box: where u, v or the normal coordinate is least or greatest.
enum Side { u_low = 0, u_high = 1, v_low = 2, v_high = 3, n_low = 4, n_high = 5 };

/// A board bent about an axis along v: the outline is the outer face laid flat. At u = 0 the board's own axes hold;
/// `at`, `axes_at` and `coordinates_of` follow the bend.
struct Bend {
  Eigen::Vector3d centre{0, 0, 0};  ///< on the axis, at v = 0
  double radius = 0;                ///< of the outer face, m
  bool hollow = false;              ///< the outer face looks towards the axis
};

/// A flat board: outline in the plane (origin, u, v), layers stacked along normal = u x v. Or a bent one.
/// For a cabinet wall n points outwards, so the outer face is where the normal coordinate is greatest.
struct Board {
  std::string name;
  BoardRole role = BoardRole::free;
  Eigen::Vector3d origin{0, 0, 0};
  Eigen::Vector3d u{1, 0, 0};
  Eigen::Vector3d v{0, 1, 0};
  std::vector<Eigen::Vector2d> outline;  ///< polygon, counter-clockwise in (u, v); empty for a disc
  double disc_radius = 0;                ///< > 0: a round board centred on the origin
  std::vector<Layer> layers;
  std::vector<CutOut> cut_outs;
  std::array<bool, 6> glued{true, true, true, true, true, true};  ///< by Side: joined to what touches this side
  double thickness_tolerance = 0;                                 ///< m
  int attached_to = -1;                                           ///< sheet: index of the board that carries it
  std::optional<Bend> bend;                                       ///< only of solids, and of one layer

  Eigen::Vector3d normal() const { return u.cross(v); }
  double thickness() const;
  /// World place of board coordinates; n from the inner face.
  Eigen::Vector3d at(double a, double b, double n) const;
  /// Board coordinates of a place: a bent board's first one within half a turn of the middle of its outline.
  Eigen::Vector3d coordinates_of(const Eigen::Vector3d &x) const;
  /// Unit vectors along u, v and the normal at a place, as columns.
  Eigen::Matrix3d axes_at(const Eigen::Vector3d &x) const;
};

/// How two overlapping boards share the wood where their boxes overlap.
enum class Sharing {
  first_owns,  ///< the first board keeps it (butt and rebate joints, crossing braces that are butted)
  mitre,       ///< split along the diagonal from the inner to the outer edge
  half_lap     ///< split half-way along the longest side of the overlap: first below, second above
};

struct Overlap {
  int first = 0, second = 0;  ///< indices into Structure::boards
  Sharing sharing = Sharing::first_owns;
};

/// Where these two boards touch they are not glued: springs spread evenly over the contact face join them. Stiffness
/// per metre of edge; per area it is that over the width of the contact face (see BondFace). With both stiffnesses 0
/// the boards are not joined there at all. A sheet counts as part of its carrier, but bonds nothing itself: it ends at
/// the bond. Not for mitred boards. A side that is not glued (Board::glued) stays loose.
struct Bond {
  std::string name;
  int first = 0, second = 0;  ///< indices into Structure::boards
  double normal = 0;          ///< N/m per m of edge, square to the contact face, >= 0
  double shear = 0;           ///< the same in the contact face, in every direction
  double loss_factor = 0;     ///< of the springs
  bool is_loose() const { return normal <= 0 && shear <= 0; }
};

/// Small-signal parameters of a driver, as data sheets give them, and the voltage at its terminals.
struct SmallSignal {
  double moving_mass = 0;      ///< kg, the air that swings along included
  double compliance = 0;       ///< m/N, of the suspension
  double mechanical_q = 0;     ///< Q of the suspension's losses alone
  double electrical_q = 0;     ///< Q of the motor alone, 2 pi fs moving_mass coil_resistance / force_factor^2
  double force_factor = 0;     ///< T m (N/A)
  double coil_resistance = 0;  ///< ohm, at direct current
  double coil_inductance = 0;  ///< H
  double cone_area = 0;        ///< m2, effective
  double voltage = 2.83;       ///< V, rms
};

/// A driver held at the rim of a cut-out. Mass only: the mass is spread evenly over the rim. Rigid basket: the rim
/// moves as a rigid body that carries the mass at `centre_of_gravity` with moments of inertia about it.
struct RimMass {
  std::string name;
  int board = 0, cut_out = 0;
  double mass = 0;  ///< kg
  bool rigid_basket = false;
  double depth_of_gravity = 0;                ///< m behind the outer face of the board, along the inward normal
  Eigen::Vector3d inertia{0, 0, 0};           ///< kg m2 about the centre of gravity: about u, v and the normal
  std::optional<SmallSignal> small_signal{};  ///< of a driver that is driven
};

/// Mass spread evenly over a rectangle on a face of a board.
struct AreaMass {
  std::string name;
  int board = 0;
  bool on_high_side = true;  ///< the face where the normal coordinate is greatest (outer face of a wall)
  Eigen::Vector2d low{0, 0}, high{0, 0};
  double mass = 0;
};

struct PointMass {
  std::string name;
  int board = 0;
  bool on_high_side = true;
  Eigen::Vector2d at{0, 0};
  double mass = 0;
};

/// A foot: springs between a point on a board's face and the ground, N/m along x, y, z.
struct Foot {
  std::string name;
  int board = 0;
  bool on_high_side = true;
  Eigen::Vector2d at{0, 0};
  Eigen::Vector3d stiffness{0, 0, 0};
};

/// clamped: no displacement on the edge face. simple_soft: none along the board's normal. simple_hard: none along
/// the normal and none along the edge.
enum class EdgeKind { clamped, simple_soft, simple_hard };

struct EdgeSupport {
  int board = 0;
  int side = -1;  ///< a Side (u_low .. v_high), or -1 for the whole rim
  EdgeKind kind = EdgeKind::clamped;
};

/// A tube that joins the air inside to the air outside through a cut-out of a wall; its outer end is flush with the
/// wall.
struct Port {
  std::string name;
  int board = 0, cut_out = 0;
  double length = 0;        ///< m from the wall's outer face to the inner mouth, at least the wall's thickness
  double area = 0;          ///< m2, clear inside
  bool flared_end = false;  ///< the inner mouth is flared
};

/// Porous material: on the inner faces of walls, or filling a box of the inside where `walls` is empty.
struct Lining {
  std::string name;
  std::vector<int> walls;                       ///< indices into Structure::boards
  double thickness = 0;                         ///< m, from the walls' inner faces
  Eigen::Vector3d low{0, 0, 0}, high{0, 0, 0};  ///< m, world: the box that is filled
  double flow_resistivity = 0;                  ///< Pa s/m2
};

/// The box a cabinet's walls enclose; walls in the order baffle, back, left, right, top, bottom.
struct CabinetFrame {
  Eigen::Vector3d outer{0, 0, 0};
  Eigen::Vector3d inner_low{0, 0, 0}, inner_high{0, 0, 0};
  std::array<int, 6> walls{-1, -1, -1, -1, -1, -1};
};
enum Wall { baffle = 0, back = 1, left = 2, right = 3, top = 4, bottom = 5 };

struct Solids;  // mesh/solids.h

struct Structure {
  std::string case_name, variant_name;
  double temperature = 20;  ///< degrees C
  std::vector<Material> materials;
  std::vector<Board> boards;
  std::vector<Overlap> overlaps;
  std::vector<Bond> bonds;
  std::vector<RimMass> rim_masses;
  std::vector<AreaMass> area_masses;
  std::vector<PointMass> point_masses;
  std::vector<Foot> feet;
  std::vector<EdgeSupport> edge_supports;
  std::optional<CabinetFrame> cabinet;
  std::vector<Port> ports;
  std::vector<Lining> linings;
  /// Where it is there, the boards are these solids, whatever their outlines say: those serve views and places.
  std::shared_ptr<const Solids> solids;
};

/// Material of a board's layer, or of a bent board's sector.
inline int material_of(const Board &board, int layer) { return board.layers[board.bend ? 0 : layer].material; }

/// Area of a board's outline and of one cut-out, m2.
double outline_area(const Board &board);
double cut_out_area(const CutOut &cut_out);

/// Extent of the outline in u, v: low and high corner, m.
std::pair<Eigen::Vector2d, Eigen::Vector2d> outline_bounds(const Board &board);

/// True when the point (u, v) lies within the outline; on a polygon's outline itself either may come out.
bool is_in_outline(const Board &board, const Eigen::Vector2d &point);

/// What the other walls leave clear of the inner face of a cabinet's wall: low and high corner in (u, v), m.
std::pair<Eigen::Vector2d, Eigen::Vector2d> clear_inner_face(const CabinetFrame &cabinet, const Board &wall);

/// The words for the low and the high face of a board: inner and outer; lower and upper, front and rear, left and right
/// of a brace; low and high of a free board.
std::array<std::string, 2> face_words(const Board &board);

/// World-axis bounds of the board's box, m (exact for boards whose u and v lie along world axes).
std::pair<Eigen::Vector3d, Eigen::Vector3d> world_bounds(const Board &board);

/// True when u and v lie along world axes and the outline is a rectangle: such boards meet and are glued.
bool is_axis_aligned_box(const Board &board);

/// A rectangular board: corner `origin`, axes, sizes (m) and one layer of `material`.
Board make_rectangle(const std::string &name, const Eigen::Vector3d &origin, const Eigen::Vector3d &u,
                     const Eigen::Vector3d &v, double size_u, double size_v, double thickness, int material);

}  // namespace stillbox
