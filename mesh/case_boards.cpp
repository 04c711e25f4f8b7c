// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

/// x, -y, ... or a direction [x, y, z] as a unit vector.
Eigen::Vector3d read_axis(const Reader &r, const std::string &key) {
  const Node *node = r.node->find(key);
  const std::string allowed = "x, y, z, -x, -y, -z or [x, y, z]";
  Eigen::Vector3d axis = key == "u" ? Eigen::Vector3d::UnitX() : Eigen::Vector3d::UnitY();
  if (!node) return axis;
  if (node->kind == Node::Kind::list && node->items.size() == 3) {
    for (int i = 0; i < 3; ++i) {
      const Node &item = node->items[i];
      if (item.is_number() && std::abs(item.number) <= 1e6)
        axis[i] = item.number;
      else
        return r.refuse(key, allowed, "give three numbers that are not all zero"), Eigen::Vector3d::UnitX();
    }
    if (!(axis.norm() > 1e-6)) {
      r.refuse(key, allowed, "give three numbers that are not all zero");
      return Eigen::Vector3d::UnitX();
    }
    return axis.normalized();
  }
  const std::string text = r.text(key);
  const bool is_negative = !text.empty() && text[0] == '-';
  const std::string letter = is_negative ? text.substr(1) : text;
  if (letter == "x" || letter == "y" || letter == "z")
    return (is_negative ? -1.0 : 1.0) * Eigen::Vector3d::Unit(letter[0] - 'x');
  r.refuse(key, allowed, "name an axis");
  return axis;
}

double cross(const Eigen::Vector2d &a, const Eigen::Vector2d &b) { return a.x() * b.y() - a.y() * b.x(); }

bool segments_cross(const Eigen::Vector2d &a, const Eigen::Vector2d &b, const Eigen::Vector2d &c,
                    const Eigen::Vector2d &d) {
  const double ca = cross(b - a, c - a), cb = cross(b - a, d - a), cc = cross(d - c, a - c), cd = cross(d - c, b - c);
  return ca * cb <= 0 && cc * cd <= 0;
}

std::vector<Eigen::Vector2d> read_outline(const Reader &r) {
  const Node *node = r.node->find("outline");
  const Key &key = *find_key(r.groups, "outline");
  std::vector<Eigen::Vector2d> outline;
  if (node->kind != Node::Kind::list || node->items.size() < 3 || node->items.size() > 100) {
    r.refuse("outline", "3 .. 100 corners [u, v]", "give a list such as [[0, 0], [300, 0], [150, 200]]");
    return outline;
  }
  for (const Node &corner : node->items) {
    // Read through a list key of its own, so that the message and the range are those of a length.
    Node holder;
    holder.file = corner.file;
    holder.line = corner.line;
    holder.set("outline", corner);
    const Reader one{r.problems, &holder, r.path, r.groups};
    const auto uv = one.lengths("outline", 2, 2);
    outline.emplace_back(uv[0], uv[1]);
  }
  const std::size_t n = outline.size();
  double twice_area = 0;
  for (std::size_t i = 0; i < n; ++i) twice_area += cross(outline[i], outline[(i + 1) % n]);
  bool is_simple = std::abs(twice_area) > 2e-6;
  for (std::size_t i = 0; i < n; ++i) {
    is_simple = is_simple && (outline[(i + 1) % n] - outline[i]).norm() > 1e-4;
    for (std::size_t j = i + 2; j < n; ++j)
      if (!(i == 0 && j == n - 1))
        is_simple = is_simple && !segments_cross(outline[i], outline[i + 1], outline[j], outline[(j + 1) % n]);
  }
  if (!is_simple)
    r.refuse("outline", "a polygon that does not cross or touch itself, each " + range_text_of(key),
             "list the corners in their order around the board");
  if (twice_area < 0) std::reverse(outline.begin(), outline.end());
  return outline;
}

void read_shape(const Reader &r, Board &board) {
  const int shapes = int(r.has("size")) + int(r.has("diameter")) + int(r.has("outline"));
  if (shapes != 1) {
    r.refuse(shapes == 0         ? "size"
             : r.has("diameter") ? "diameter"
                                 : "outline",
             "one of size, diameter, outline", shapes == 0 ? "add size = [along u, along v]" : "remove all but one");
  } else if (r.has("size")) {
    const auto size = r.lengths("size", 2, 2);
    board.outline = {{0, 0}, {size[0], 0}, {size[0], size[1]}, {0, size[1]}};
  } else if (r.has("diameter")) {
    board.disc_radius = r.length("diameter") / 2;
  } else {
    board.outline = read_outline(r);
  }
}

void read_glue(const Reader &r, Board &board) {
  if (!r.has("glued")) return;
  static const std::vector<std::string> sides = {"u low", "u high", "v low", "v high", "n low", "n high"};
  const auto glued = r.texts("glued");
  for (int side = 0; side < 6; ++side)
    board.glued[side] = std::find(glued.begin(), glued.end(), sides[side]) != glued.end();
}

void read_free_board(Build &b, const Reader &r) {
  Board board;
  BoardInfo info;
  const bool clean = read_cleanly(b, [&] {
    r.refuse_unknown_keys();
    board.name = r.text("name");
    register_name(b, r, "name", board.name);
    if (r.has("origin")) {
      const auto origin = r.lengths("origin", 3, 3);
      board.origin = {origin[0], origin[1], origin[2]};
    }
    board.u = read_axis(r, "u");
    board.v = read_axis(r, "v");
    if (std::abs(board.u.dot(board.v)) > 1e-6)
      r.refuse("v", "square to u", "the two axes of a board must be at right angles");
    else
      board.v = (board.v - board.u * board.u.dot(board.v)).normalized();
    read_shape(r, board);
    read_glue(r, board);
    board.thickness_tolerance = r.length("thickness_tolerance");
    const auto layers = read_layers(b, r, "u", true);
    if ((board.outline.empty() && board.disc_radius == 0) || layers.empty()) return;
    if (!set_layers(board, layers, false))
      r.refuse("layers", "u, v, along, across", "the grain of a free board lies along its own axes");
    if (r.has("grain") && r.has("grain_angle_deg"))
      r.refuse("grain", "one of grain and grain_angle_deg", "remove one of the two");
    if (r.has("grain_angle_deg"))
      for (Layer &layer : board.layers) layer.grain_angle += r.number("grain_angle_deg") * M_PI / 180;
    info.place = r.place("name");
    info.kind = "board";
    info.user_size = outline_bounds(board).second - outline_bounds(board).first;
  });
  if (clean) add_board(b, board, info);
}

}  // namespace

void read_free_boards(Build &b) {
  for (const Reader &r : b.root.tables("board", {"free board"}, 200)) read_free_board(b, r);
}

}  // namespace stillbox
