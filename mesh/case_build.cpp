// SPDX-License-Identifier: MIT
#include "mesh/case_build.h"

#include <algorithm>
#include <cmath>

#include "mesh/length.h"

namespace stillbox {

const std::array<const char *, 6> wall_name = {"baffle", "back", "left", "right", "top", "bottom"};

int wall_index(const std::string &name) {
  for (int w = 0; w < 6; ++w)
    if (name == wall_name[w]) return w;
  return -1;
}

int wall_axis(int wall) { return wall == left || wall == right ? 0 : wall == baffle || wall == back ? 1 : 2; }

bool is_low_wall(int wall) { return wall == baffle || wall == left || wall == bottom; }

int direction_axis(const std::string &direction) { return direction == "width" ? 0 : direction == "depth" ? 1 : 2; }

std::string direction_word(int axis) { return axis == 0 ? "width" : axis == 1 ? "depth" : "height"; }

void register_name(Build &b, const Reader &r, const std::string &key, const std::string &name) {
  const auto [old, is_new] = b.names.emplace(name, r.place(key));
  if (is_new) return;
  const bool is_wall = wall_index(name) >= 0;
  r.refuse_value(key, "\"" + name + "\"", "each name once",
                 is_wall ? "this is the name of a wall; choose another one"
                         : "already used in line " + std::to_string(old->second.line) + "; choose another one");
}

int material_index(Build &b, const Reader &r, const std::string &name) {
  auto &used = b.structure.materials;
  for (std::size_t i = 0; i < used.size(); ++i)
    if (used[i].name == name) return int(i);
  const Material *material = b.materials->find(name);
  if (!material) {
    const auto known = b.materials->names();
    const std::string near = suggestion(name, known);
    r.refuse("material", known.empty() ? "a [material.NAME] of this file" : joined(known),
             near.empty() ? "unknown material: describe it in [material.NAME]" : "unknown material: " + near);
    return 0;
  }
  used.push_back(*material);
  return int(used.size()) - 1;
}

std::vector<LayerSpec> read_layers(Build &b, const Reader &r, const std::string &default_grain, bool complete) {
  const std::string grain = r.has("grain") ? r.text("grain") : default_grain;
  if (r.has("layers")) {
    for (const char *other : {"material", "thickness"})
      if (r.has(other)) r.refuse(other, "either layers, or material and thickness", "remove one of the two");
    std::vector<LayerSpec> layers;
    for (const Reader &layer : r.tables("layers", {"layer"}, 20)) {
      layer.refuse_unknown_keys();
      LayerSpec spec;
      const std::string material = layer.text("material");
      if (!material.empty()) spec.material = material_index(b, layer, material);
      spec.thickness = layer.length("thickness");
      spec.grain = layer.has("grain") ? layer.text("grain") : grain;
      layers.push_back(spec);
    }
    if (layers.empty() && complete) r.refuse("layers", "1 .. 20 layers", "list at least one layer");
    return layers;
  }
  LayerSpec spec;
  spec.grain = grain;
  for (const char *name : {"material", "thickness"})
    if (complete && !r.has(name))
      r.refuse(name, allowed_text(*find_key(r.groups, name)), std::string("add the key ") + name + ", or layers");
  if (r.has("material")) {
    const std::string material = r.text("material");
    if (!material.empty()) spec.material = material_index(b, r, material);
  }
  if (r.has("thickness")) spec.thickness = r.length("thickness");
  return {spec};
}

bool set_layers(Board &board, const std::vector<LayerSpec> &layers, bool reversed, bool is_inherited) {
  const auto [low, high] = outline_bounds(board);
  const bool u_is_longer = high.x() - low.x() >= high.y() - low.y();
  bool ok = true;
  board.layers.clear();
  for (const LayerSpec &spec : layers) {
    std::string grain = spec.grain.empty() ? "along" : spec.grain;
    if (grain == "width" || grain == "depth" || grain == "height") {
      int axis = direction_axis(grain);
      if (is_inherited && std::abs(board.normal()[axis]) > 0.5) axis = axis == 2 ? 0 : 2;
      if (std::abs(board.normal()[axis]) > 0.5) ok = false;
      grain = std::abs(board.u[axis]) > 0.5 ? "u" : "v";
    }
    const bool along_u = grain == "u" || (grain == "along" && u_is_longer) || (grain == "across" && !u_is_longer);
    board.layers.push_back({spec.material, spec.thickness, along_u ? 0.0 : M_PI / 2});
  }
  if (reversed) std::reverse(board.layers.begin(), board.layers.end());
  return ok;
}

Board board_from_box(const std::string &name, BoardRole role, const Eigen::Vector3d &low, const Eigen::Vector3d &high,
                     const Eigen::Vector3d &u, const Eigen::Vector3d &v) {
  const Eigen::Vector3d extent = high - low, forward = u + v + u.cross(v);
  Eigen::Vector3d origin = low;
  for (int a = 0; a < 3; ++a)
    if (forward[a] < 0) origin[a] = high[a];
  Board board = make_rectangle(name, origin, u, v, std::abs(extent.dot(u)), std::abs(extent.dot(v)),
                               std::abs(extent.dot(u.cross(v))), 0);
  board.role = role;
  return board;
}

int add_board(Build &b, const Board &board, const BoardInfo &info) {
  b.structure.boards.push_back(board);
  b.info.push_back(info);
  return int(b.structure.boards.size()) - 1;
}

int find_board_named(const Build &b, const Reader &r, const std::string &key, const std::string &name,
                     const std::string &shown) {
  std::vector<std::string> known;
  for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
    const Board &board = b.structure.boards[i];
    if (board.role == BoardRole::sheet) continue;
    if (board.name == name) return int(i);
    known.push_back(board.name);
  }
  const std::string near = suggestion(name, known);
  r.refuse_value(key, shown, joined(known),
                 near.empty() ? "there is no board of this name" : "there is no board of this name: " + near);
  return -1;
}

int find_board(const Build &b, const Reader &r, const std::string &key) {
  const std::string name = r.text(key);
  return find_board_named(b, r, key, name, r.shown(key));
}

Eigen::Vector2d to_board(const BoardInfo &info, const std::vector<double> &across_up) {
  const Eigen::Vector2d p =
      info.swapped ? Eigen::Vector2d(across_up[1], across_up[0]) : Eigen::Vector2d(across_up[0], across_up[1]);
  return p - info.offset;
}

bool boxes_meet(const Board &a, const Board &b, double least_overlap, Eigen::Vector3d *low, Eigen::Vector3d *high) {
  const auto [a_low, a_high] = world_bounds(a);
  const auto [b_low, b_high] = world_bounds(b);
  const Eigen::Vector3d from = a_low.cwiseMax(b_low), to = a_high.cwiseMin(b_high);
  if (low) *low = from;
  if (high) *high = to;
  return (to - from).minCoeff() > least_overlap;
}

}  // namespace stillbox
