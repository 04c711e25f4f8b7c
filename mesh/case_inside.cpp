// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/grid.h"
#include "mesh/inside_mesh.h"
#include "mesh/length.h"
#include "mesh/shape_room.h"

namespace stillbox {
namespace {

constexpr double least_gap = 1e-6;  // m

CutOutInfo *port_cut_out(Build &b, const Reader &r) {
  const std::string name = r.text("cut_out");
  std::vector<std::string> known;
  CutOutInfo *found = nullptr;
  for (CutOutInfo &info : b.cut_outs) {
    if (info.name.empty() || b.info[info.board].kind != "wall") continue;
    known.push_back(info.name);
    if (info.name == name) found = &info;
  }
  if (!found) {
    const std::string near = suggestion(name, known);
    r.refuse("cut_out", known.empty() ? "a [[cut_out]] of a wall" : joined(known),
             near.empty() ? "no wall has a cut-out of this name" : "no wall has a cut-out of this name: " + near);
    return nullptr;
  }
  if (found->has_driver) {
    r.refuse("cut_out", "a cut-out without a driver", "a driver or another port already sits there; remove one");
    return nullptr;
  }
  return found;
}

// True when the tube passes through a hole of the board it would otherwise run into.
bool passes_hole(const Board &board, int axis, const Eigen::Vector3d &centre, double radius) {
  if (axis_of(board.normal()) != axis) return false;
  const Eigen::Vector3d r = centre - board.origin;
  const Eigen::Vector2d at(r.dot(board.u), r.dot(board.v));
  return std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
    const Eigen::Vector2d off = (at - c.centre).cwiseAbs();
    if (c.is_circle()) return off.norm() + radius <= c.width / 2 + least_gap;
    return off.x() + radius <= c.width / 2 + least_gap && off.y() + radius <= c.height / 2 + least_gap;
  });
}

bool tube_is_clear(const Build &b, const Reader &r, const Port &port, const Board &wall, double radius) {
  const CabinetFrame &cabinet = *b.cabinet();
  const int axis = axis_of(wall.normal());
  const double inside = cabinet.inner_high[axis] - cabinet.inner_low[axis];
  const double most = wall.thickness() + inside - radius;
  if (port.length > most + least_gap) {
    r.refuse("length", length_text(wall.thickness()) + " .. " + length_text(most),
             "the inner mouth must stay half a diameter clear of the opposite wall; shorten the tube");
    return false;
  }
  const CutOut &c = wall.cut_outs[port.cut_out];
  const Eigen::Vector3d mouth = wall.at(c.centre.x(), c.centre.y(), wall.thickness() - port.length),
                        start = wall.at(c.centre.x(), c.centre.y(), 0);
  Eigen::Vector3d across = Eigen::Vector3d::Constant(radius);
  across[axis] = 0;
  const Eigen::Vector3d low = mouth.cwiseMin(start) - across, high = mouth.cwiseMax(start) + across;
  for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
    const Board &board = b.structure.boards[i];
    if (board.role == BoardRole::wall || board.role == BoardRole::sheet || !is_axis_aligned_box(board)) continue;
    const auto [board_low, board_high] = world_bounds(board);
    if ((low.array() >= board_high.array() - least_gap).any() || (high.array() <= board_low.array() + least_gap).any())
      continue;
    if (passes_hole(board, axis, start, radius)) continue;
    r.refuse(r.has("length") ? "length" : "cut_out", "a tube that stays clear of braces and boards",
             "it runs into \"" + board.name + "\"; shorten the tube or move the cut-out");
    return false;
  }
  return true;
}

bool tube_is_clear_in_shape(const Build &b, const Reader &r, const Port &port, const Board &wall, double radius) {
  const Structure &s = b.structure;
  const CutOut &c = wall.cut_outs[std::size_t(port.cut_out)];
  const double depth = port.length - wall.thickness();
  const Eigen::Vector3d beyond = wall.at(c.centre.x(), c.centre.y(), -depth - radius);
  constexpr int turns = 24, steps = 100;
  const auto rim = [&](int turn, double at) -> Eigen::Vector3d {
    const double angle = 2 * M_PI * turn / turns;
    return wall.at(c.centre.x() + radius * std::cos(angle), c.centre.y() + radius * std::sin(angle), -at);
  };
  bool is_clear = is_in_shape_room(s, beyond, -least_gap, port.board);
  for (int turn = 0; turn < turns; ++turn)
    is_clear = is_clear && is_in_shape_room(s, rim(turn, depth), -least_gap, port.board);
  if (!is_clear) {
    r.refuse("length", "a tube that stays clear of the other walls, its inner mouth by half a diameter",
             "shorten the tube or move the cut-out");
    return false;
  }
  for (int step = 0; step <= steps; ++step)
    for (int turn = 0; turn < turns; ++turn) {
      const int brace = shape_brace_at(s, rim(turn, depth * step / steps), least_gap);
      if (brace < 0) continue;
      r.refuse(r.has("length") ? "length" : "cut_out", "a tube that stays clear of braces and boards",
               "it runs into \"" + s.boards[std::size_t(brace)].name + "\"; shorten the tube or move the cut-out");
      return false;
    }
  return true;
}

// True when the air inside is computed: a [cabinet], or a [shape] that has the form of a box.
bool has_inside(const Build &b) { return b.cabinet() || has_inside_mesh(b.structure); }

void read_port(Build &b, const Reader &r) {
  Port port;
  const bool clean = read_cleanly(b, [&] {
    r.refuse_unknown_keys();
    port.name = r.has("name") ? r.text("name") : r.text("cut_out") + " port";
    register_name(b, r, r.has("name") ? "name" : "cut_out", port.name);
    r.text("cut_out");
    if (r.has("length")) port.length = r.length("length");
    if (r.has("diameter")) port.area = M_PI / 4 * std::pow(r.length("diameter"), 2);
    port.flared_end = r.text("inner_end") == "flared";
  });
  if (!clean || !b.values_ok) return;
  if (!has_inside(b)) {
    r.refuse("cut_out", "a case with a [cabinet], or a [shape] of four upright walls",
             "a port needs an inside; remove it");
    return;
  }
  CutOutInfo *cut_out = port_cut_out(b, r);
  if (!cut_out) return;
  port.board = cut_out->board;
  port.cut_out = cut_out->index;
  const Board &wall = b.structure.boards[port.board];
  const double hole = cut_out_area(wall.cut_outs[port.cut_out]);
  if (!r.has("diameter")) port.area = hole;
  if (port.area > hole * (1 + 1e-6)) {
    r.refuse("diameter", "up to " + length_text(std::sqrt(4 * hole / M_PI)) + ", as the cut-out",
             "the tube must fit into its cut-out; widen that or take a narrower tube");
    return;
  }
  if (!r.has("length")) port.length = wall.thickness();
  if (port.length < wall.thickness() - least_gap) {
    r.refuse("length", "at least " + length_text(wall.thickness()) + ", the wall's thickness",
             "the tube reaches from the outer face at least through the wall; leave it out for a plain hole");
    return;
  }
  const double radius = std::sqrt(port.area / M_PI);
  if (!(b.cabinet() ? tube_is_clear(b, r, port, wall, radius) : tube_is_clear_in_shape(b, r, port, wall, radius)))
    return;
  cut_out->has_driver = true;
  b.structure.ports.push_back(port);
}

void read_lining(Build &b, const Reader &r, std::vector<int> &lined) {
  Lining lining;
  std::vector<std::string> on;
  const bool clean = read_cleanly(b, [&] {
    r.refuse_unknown_keys();
    lining.name = r.text("name");
    register_name(b, r, "name", lining.name);
    on = r.texts("on");
    lining.thickness = r.length("thickness");
    lining.flow_resistivity = r.number("flow_resistivity_pa_s_m2");
    const Node *list = r.node->find("on");
    if (list && list->kind == Node::Kind::list && list->items.empty())
      r.refuse("on", "at least one wall", "name the walls it covers");
  });
  if (!clean || !b.values_ok) return;
  if (!b.cabinet()) {
    r.refuse("on", "a case with a [cabinet]", "a lining needs an inside; remove it");
    return;
  }
  const CabinetFrame &cabinet = *b.cabinet();
  for (const std::string &name : on) {
    const int wall = wall_index(name), board = wall < 0 ? -1 : cabinet.walls[wall];
    if (board < 0) {
      r.refuse_value("on", "\"" + name + "\"", "a wall of the cabinet", "there is no such wall");
      return;
    }
    if (std::find(lined.begin(), lined.end(), wall) != lined.end()) {
      r.refuse_value("on", "\"" + name + "\"", "one lining per wall", "this wall is lined already; remove one");
      return;
    }
    const double inside = cabinet.inner_high[wall_axis(wall)] - cabinet.inner_low[wall_axis(wall)];
    if (lining.thickness >= inside - 1e-3) {
      r.refuse("thickness", "below " + length_text(inside - 1e-3),
               "that fills all between \"" + name + "\" and the opposite wall; use a [[filling]]");
      return;
    }
    lined.push_back(wall);
    lining.walls.push_back(board);
  }
  b.structure.linings.push_back(lining);
}

void read_filling(Build &b, const Reader &r) {
  Lining filling;
  std::vector<double> from, to;
  const bool clean = read_cleanly(b, [&] {
    r.refuse_unknown_keys();
    filling.name = r.text("name");
    register_name(b, r, "name", filling.name);
    if (r.has("from")) from = r.lengths("from", 3, 3);
    if (r.has("to")) to = r.lengths("to", 3, 3);
    filling.flow_resistivity = r.number("flow_resistivity_pa_s_m2");
  });
  if (!clean || !b.values_ok) return;
  if (!has_inside(b)) {
    r.refuse("name", "a case with a [cabinet], or a [shape] of four upright walls",
             "a filling needs an inside; remove it");
    return;
  }
  if (!b.cabinet()) {
    for (const char *key : {"from", "to"})
      if (r.has(key)) {
        r.refuse(key, "not in a [shape]", "a filling is in all of the room there; remove the key");
        return;
      }
    b.structure.linings.push_back(filling);
    return;
  }
  const CabinetFrame &cabinet = *b.cabinet();
  filling.low = cabinet.inner_low;
  filling.high = cabinet.inner_high;
  for (int a = 0; a < 3; ++a) {
    if (!from.empty()) filling.low[a] = std::max(filling.low[a], from[a]);
    if (!to.empty()) filling.high[a] = std::min(filling.high[a], to[a]);
  }
  for (int a = 0; a < 3; ++a)
    if (filling.high[a] - filling.low[a] < 1e-3) {
      const bool by_from = !from.empty() && (to.empty() || from[a] > cabinet.inner_low[a]);
      r.refuse(by_from ? "from" : "to",
               "a box at least 1 mm wide within the inside, " + length_text(cabinet.inner_low[a]) + " .. " +
                   length_text(cabinet.inner_high[a]) + " in the " + direction_word(a),
               "nothing of the inside would be filled; give the low corner first");
      return;
    }
  b.structure.linings.push_back(filling);
}

}  // namespace

void read_ports(Build &b) {
  for (const Reader &r : b.root.tables("port", {"port"}, 20)) read_port(b, r);
}

void read_linings(Build &b) {
  std::vector<int> lined;
  for (const Reader &r : b.root.tables("lining", {"lining"}, 20)) read_lining(b, r, lined);
  for (const Reader &r : b.root.tables("filling", {"filling"}, 20)) read_filling(b, r);
}

}  // namespace stillbox
