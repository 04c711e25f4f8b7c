// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <map>
#include <string>
#include <utility>
#include <vector>

#include "mesh/case_reader.h"
#include "mesh/materials_list.h"
#include "mesh/structure.h"

namespace stillbox {

// Internal to the case-file reader: the structure being built from the tree of one variant, and where it was said.

/// What the file calls a board, besides what mesh/structure.h keeps.
struct BoardInfo {
  Place place;
  std::string kind;                 ///< "wall", "sheet", "board" or the kind of brace
  Eigen::Vector2d offset{0, 0};     ///< board (u, v) = user's [across, up] - offset
  bool swapped = false;             ///< the user's first coordinate runs along v
  Eigen::Vector2d user_size{0, 0};  ///< extent in the user's coordinates, for messages
};

struct CutOutInfo {
  std::string name;
  int board = 0, index = 0;
  Place place;
  bool has_driver = false;
};

struct Build {
  Reader root;
  const MaterialsList *materials = nullptr;
  Structure structure;
  std::vector<BoardInfo> info;  ///< by board
  std::vector<CutOutInfo> cut_outs;
  std::map<std::string, Place> names;
  double minimum_web = 0;
  bool values_ok = true;  ///< false once a value could not be read: what depends on it is not built

  Problems &problems() { return *root.problems; }
  const CabinetFrame *cabinet() const { return structure.cabinet ? &*structure.cabinet : nullptr; }
};

struct LayerSpec {
  int material = 0;
  double thickness = 0;  ///< m
  std::string grain;
};

extern const std::array<const char *, 6> wall_name;  ///< in the order of enum Wall
int wall_index(const std::string &name);             ///< -1 when it is not a wall
int wall_axis(int wall);                             ///< world axis of its normal
bool is_low_wall(int wall);                          ///< baffle, left, bottom
int direction_axis(const std::string &direction);    ///< width 0, depth 1, height 2
std::string direction_word(int axis);

/// Runs `read` and notes in `values_ok` whether it reported anything.
template <typename Action>
bool read_cleanly(Build &b, Action read) {
  const std::size_t before = b.problems().found;
  read();
  const bool clean = b.problems().found == before;
  if (!clean) b.values_ok = false;
  return clean;
}

/// Keeps every name once; a repetition is a problem.
void register_name(Build &b, const Reader &r, const std::string &key, const std::string &name);

/// The material's index in the structure, added when it is used for the first time; unknown names are reported.
int material_index(Build &b, const Reader &r, const std::string &name);

/// Layers in the order of the file. `complete`: material and thickness must be there.
std::vector<LayerSpec> read_layers(Build &b, const Reader &r, const std::string &default_grain, bool complete);

/// Sets the board's layers. Grain words: along, across, u, v, width, depth, height. `reversed`: the file lists them
/// from the high face down. False when the board does not have the direction.
bool set_layers(Board &board, const std::vector<LayerSpec> &layers, bool reversed, bool is_inherited = false);

/// A rectangular board that fills a box in world coordinates; its axes must lie along world axes.
Board board_from_box(const std::string &name, BoardRole role, const Eigen::Vector3d &low, const Eigen::Vector3d &high,
                     const Eigen::Vector3d &u, const Eigen::Vector3d &v);

int add_board(Build &b, const Board &board, const BoardInfo &info);
/// Index of a wall, brace or free board; a problem and -1 when there is none of that name.
int find_board(const Build &b, const Reader &r, const std::string &key);
/// The same for a name from a list; `shown`: the value that the message prints.
int find_board_named(const Build &b, const Reader &r, const std::string &key, const std::string &name,
                     const std::string &shown);
Eigen::Vector2d to_board(const BoardInfo &info, const std::vector<double> &across_up);

/// True when the boxes of two boards along x, y, z have more than `least_overlap` (m) in common in every direction.
/// `low`, `high`: the box they have in common; where high is below low they are that far apart.
bool boxes_meet(const Board &a, const Board &b, double least_overlap, Eigen::Vector3d *low = nullptr,
                Eigen::Vector3d *high = nullptr);

void read_cabinet(Build &b);                              // case_cabinet.cpp
void check_corners(Build &b);                             // case_joints.cpp
void read_braces(Build &b);                               // case_braces.cpp
void read_free_boards(Build &b);                          // case_boards.cpp
void read_cut_outs(Build &b);                             // case_cut_outs.cpp
void read_sheets(Build &b);                               // case_sheets.cpp
void share_overlaps(Build &b);                            // case_overlaps.cpp
void check_cut_outs(Build &b);                            // case_webs.cpp
double wood_to_rim(const Board &board, const CutOut &c);  ///< m, negative over the rim (case_webs.cpp)
/// Reports a cut-out that leaves only `web` (m) of wood to something, 0 or less where they overlap. (case_webs.cpp)
void refuse_web(Build &b, const CutOutInfo &info, double web, const std::string &from);
void read_drivers(Build &b);        // case_fittings.cpp
void read_masses(Build &b);         // case_fittings.cpp
void read_feet(Build &b);           // case_supports.cpp
void read_edge_supports(Build &b);  // case_supports.cpp
void read_bonds(Build &b);          // case_bonds.cpp
void read_ports(Build &b);          // case_inside.cpp
void read_linings(Build &b);        // case_inside.cpp

struct WallJoint {
  std::string kind = "butt";
  int through = -1;
  double rebate_depth = 0;  ///< m
};
using WallJoints = std::array<std::array<WallJoint, 6>, 6>;
WallJoints read_joints(Build &b, const Reader &cabinet);  // case_joints.cpp

/// The small-signal parameters of a [[driver]]; nothing when it has none, or after a problem, which is reported.
/// (case_small_signal.cpp)
std::optional<SmallSignal> read_small_signal(const Reader &r);

/// Cuts the openings into a window brace. (case_openings.cpp)
void add_openings(Build &b, const Reader &r, int board);

/// Point of a fitting on a face: reads `on`, `at` or an area's corner, `face`. (case_fittings.cpp)
struct FacePoint {
  int board = -1;
  bool on_high_side = true;
};
FacePoint read_face(Build &b, const Reader &r, bool default_high_on_wall, bool default_high_elsewhere);
/// Moves a fitting at the rectangle [low, high] of a face to the sheet that covers it there, if any; false after
/// reporting that it lies across a sheet's edge.
bool settle_on_sheet(Build &b, const Reader &r, const std::string &key, FacePoint &face, Eigen::Vector2d &low,
                     Eigen::Vector2d &high);
/// Checks that a rectangle (or point) lies on the free part of a face; returns false after reporting.
bool is_on_free_face(Build &b, const Reader &r, const std::string &key, const FacePoint &face,
                     const Eigen::Vector2d &low, const Eigen::Vector2d &high);

/// The tree with the changes of one variant applied; problems are reported. (case_variants.cpp)
Node with_variant(const Node &tree, const Reader &variant);

}  // namespace stillbox
