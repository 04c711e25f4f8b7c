// SPDX-License-Identifier: MIT
#include <algorithm>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr double least_room = 5e-3;  // m between opposite walls

// Axes of each wall: u left to right and v up as seen from outside, u x v outwards.
const std::array<Eigen::Vector3d, 6> wall_u = {Eigen::Vector3d(1, 0, 0),  Eigen::Vector3d(-1, 0, 0),
                                               Eigen::Vector3d(0, -1, 0), Eigen::Vector3d(0, 1, 0),
                                               Eigen::Vector3d(1, 0, 0),  Eigen::Vector3d(-1, 0, 0)};
const std::array<Eigen::Vector3d, 6> wall_v = {Eigen::Vector3d(0, 0, 1), Eigen::Vector3d(0, 0, 1),
                                               Eigen::Vector3d(0, 0, 1), Eigen::Vector3d(0, 0, 1),
                                               Eigen::Vector3d(0, 1, 0), Eigen::Vector3d(0, 1, 0)};
constexpr int low_wall_of_axis[3] = {left, baffle, bottom};
constexpr int high_wall_of_axis[3] = {right, back, top};

struct WallSpec {
  Node node;
  std::vector<LayerSpec> layers;
  double thickness = 0, tolerance = 0;
  bool grain_is_inherited = false;
};

WallSpec read_wall(Build &b, const Reader &cabinet, int wall) {
  WallSpec spec;
  const Node *common = cabinet.node->find("board");
  const Node *walls = cabinet.node->find("wall");
  const Node *own = walls ? walls->find(wall_name[wall]) : nullptr;
  if (common && own) {
    spec.node = merged(*common, *own);
  } else if (common || own) {
    spec.node = common ? *common : *own;
  } else {
    spec.node.file = cabinet.node->file;
    spec.node.line = cabinet.node->line;
  }
  // A wall with nothing of its own is reported under the key that all walls share.
  const std::string path = own || !common ? std::string("cabinet.wall.") + wall_name[wall] : "cabinet.board";
  const Reader r{cabinet.problems, &spec.node, path, {"board"}};
  spec.layers = read_layers(b, r, "along", true);
  for (const LayerSpec &layer : spec.layers) spec.thickness += layer.thickness;
  spec.tolerance = r.length("thickness_tolerance");
  spec.grain_is_inherited = !own || (!own->find("grain") && !own->find("layers"));
  return spec;
}

void check_board_tables(Build &b, const Reader &cabinet) {
  const auto check = [&](const Reader &r) {
    r.refuse_unknown_keys();
    read_layers(b, r, "along", false);
    r.length("thickness_tolerance");
  };
  if (const auto common = cabinet.table("board", {"board"})) check(*common);
  const auto walls = cabinet.table("wall", {});
  if (!walls) return;
  const std::vector<std::string> known(wall_name.begin(), wall_name.end());
  for (const auto &[name, node] : walls->node->entries) {
    const Place at{*node.file, node.line, walls->path + "." + name};
    const std::string near = suggestion(name, known);
    if (wall_index(name) < 0)
      b.problems().add(at, "\"" + name + "\"", joined(known),
                       near.empty() ? "there is no such wall" : "there is no such wall: " + near);
    else if (node.kind != Node::Kind::table)
      b.problems().add(at, value_text(node), "a table", "write [" + at.key + "] and its keys below");
    else
      check({cabinet.problems, &node, at.key, {"board"}});
  }
}

Eigen::Vector3d read_size(const Reader &cabinet, bool &is_outer) {
  is_outer = cabinet.has("outer_size");
  if (is_outer == cabinet.has("inner_size")) {
    cabinet.refuse(is_outer ? "inner_size" : "outer_size", "one of outer_size and inner_size",
                   is_outer ? "remove one of the two" : "give outer_size = { width = ..., depth = ..., height = ... }");
    return Eigen::Vector3d::Zero();
  }
  const auto size = cabinet.table(is_outer ? "outer_size" : "inner_size", {"size"});
  if (!size) return Eigen::Vector3d::Zero();
  size->refuse_unknown_keys();
  return {size->length("width"), size->length("depth"), size->length("height")};
}

Place thickness_place(const Reader &cabinet, const WallSpec &spec, int wall) {
  const std::string path = std::string("cabinet.wall.") + wall_name[wall];
  const Reader r{cabinet.problems, &spec.node, path, {"board"}};
  return r.place(spec.node.find("layers") ? "layers" : "thickness");
}

void build_walls(Build &b, const Reader &cabinet, const std::array<WallSpec, 6> &specs, const WallJoints &joints) {
  const CabinetFrame frame = *b.structure.cabinet;
  const auto retreat = [&](int wall, int other) {
    const WallJoint &joint = joints[wall][other];
    if (joint.kind == "mitre" || joint.through == wall) return 0.0;
    return specs[other].thickness - joint.rebate_depth;
  };
  for (int w = 0; w < 6; ++w) {
    Eigen::Vector3d low(0, 0, 0), high = frame.outer;
    for (int a = 0; a < 3; ++a) {
      if (a == wall_axis(w)) {
        (is_low_wall(w) ? high[a] : low[a]) = is_low_wall(w) ? frame.inner_low[a] : frame.inner_high[a];
      } else {
        low[a] += retreat(w, low_wall_of_axis[a]);
        high[a] -= retreat(w, high_wall_of_axis[a]);
      }
    }
    Board board = board_from_box(wall_name[w], BoardRole::wall, low, high, wall_u[w], wall_v[w]);
    board.thickness_tolerance = specs[w].tolerance;
    BoardInfo info;
    info.place = thickness_place(cabinet, specs[w], w);
    info.place.key = std::string("cabinet.wall.") + wall_name[w];
    info.kind = "wall";
    const Eigen::Vector3d outer_corner = frame.outer.cwiseProduct((-(wall_u[w] + wall_v[w])).cwiseMax(0));
    info.offset = {(board.origin - outer_corner).dot(wall_u[w]), (board.origin - outer_corner).dot(wall_v[w])};
    if (!set_layers(board, specs[w].layers, true, specs[w].grain_is_inherited)) {
      const Reader r{cabinet.problems, &specs[w].node, info.place.key, {"board"}};
      r.refuse("grain", "along, across or a direction in the plane of the wall",
               std::string("the grain cannot run through the thickness of the wall ") + wall_name[w]);
    }
    b.structure.cabinet->walls[w] = add_board(b, board, info);
  }
}

}  // namespace

void read_cabinet(Build &b) {
  const auto cabinet = b.root.table("cabinet", {"cabinet"});
  if (!cabinet) {
    if (b.root.has("cabinet")) b.values_ok = false;
    return;
  }
  for (const char *name : wall_name) b.names.emplace(name, b.root.place("cabinet"));
  bool is_outer = true;
  Eigen::Vector3d size;
  WallJoints joints;
  std::array<WallSpec, 6> specs;
  const bool clean = read_cleanly(b, [&] {
    cabinet->refuse_unknown_keys();
    size = read_size(*cabinet, is_outer);
    joints = read_joints(b, *cabinet);
    check_board_tables(b, *cabinet);
    const Node *walls = cabinet->node->find("wall");
    if (!cabinet->has("board") && !(walls && walls->entries.size() >= 6))
      cabinet->refuse("board", "a table with material and thickness", "describe the board the walls are cut from");
  });
  if (!clean || !read_cleanly(b, [&] {
        for (int w = 0; w < 6; ++w) specs[w] = read_wall(b, *cabinet, w);
      }))
    return;

  CabinetFrame frame;
  for (int a = 0; a < 3; ++a) {
    const double low = specs[low_wall_of_axis[a]].thickness, high = specs[high_wall_of_axis[a]].thickness;
    frame.outer[a] = is_outer ? size[a] : size[a] + low + high;
    frame.inner_low[a] = low;
    frame.inner_high[a] = frame.outer[a] - high;
    if (frame.inner_high[a] - frame.inner_low[a] >= least_room) continue;
    const int thicker = low >= high ? low_wall_of_axis[a] : high_wall_of_axis[a];
    b.problems().add(thickness_place(*cabinet, specs[thicker], thicker), length_text(std::max(low, high)),
                     "up to " + length_text(size[a] - std::min(low, high) - least_room),
                     std::string("the ") + wall_name[low_wall_of_axis[a]] + " and the " +
                         wall_name[high_wall_of_axis[a]] + " leave no room within the " + direction_word(a) + " of " +
                         length_text(size[a]) + "; use thinner boards or a larger box");
    b.values_ok = false;
  }
  for (int w = 0; w < 6; ++w)
    for (int x = 0; x < 6; ++x) {
      const WallJoint &joint = joints[w][x];
      if (joint.kind == "rebate" && joint.through == w && joint.rebate_depth >= specs[w].thickness - 1e-6) {
        b.problems().add(thickness_place(*cabinet, specs[w], w), length_text(specs[w].thickness),
                         "more than the rebate depth of " + length_text(joint.rebate_depth),
                         std::string("the rebate goes through the wall ") + wall_name[w] + "; make it shallower");
        b.values_ok = false;
      }
    }
  if (!b.values_ok) return;
  b.structure.cabinet = frame;
  build_walls(b, *cabinet, specs, joints);
  for (int w = 0; w < 6; ++w)
    for (int x = w + 1; x < 6; ++x) {
      const WallJoint &joint = joints[w][x];
      const auto &walls = b.structure.cabinet->walls;
      if (joint.kind == "mitre") b.structure.overlaps.push_back({walls[w], walls[x], Sharing::mitre});
      if (joint.kind == "rebate") {
        const int other = joint.through == w ? x : w;
        b.structure.overlaps.push_back({walls[other], walls[joint.through], Sharing::first_owns});
      }
    }
  check_corners(b);
}

}  // namespace stillbox
