// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <set>

#include "mesh/case_build.h"
#include "mesh/case_solids.h"
#include "mesh/length.h"
#include "mesh/shape_boards.h"

namespace stillbox {
namespace {

struct WallSpec {
  int material = 0;
  double thickness = 0, tolerance = 0, slope = 0, radius = 0;
  std::string grain;
  Place place;
};

WallSpec read_wall(Build &b, const Reader &shape, const std::string &name) {
  const Node node = shape_wall_node(shape, name);
  const Node *walls = shape.node->find("wall");
  const bool own = walls && walls->find(name) && walls->find(name)->kind == Node::Kind::table;
  const Reader r{shape.problems, &node, own ? shape.path + ".wall." + name : shape.path + ".board", {"shape wall"}};
  WallSpec spec;
  r.refuse_unknown_keys();
  for (const char *key : {"material", "thickness"})
    if (!r.has(key)) r.refuse(key, allowed_text(*find_key({"shape wall"}, key)), std::string("add the key ") + key);
  const std::string material = r.has("material") ? r.text("material") : "";
  if (!material.empty()) spec.material = material_index(b, r, material);
  if (r.has("thickness")) spec.thickness = r.length("thickness");
  spec.tolerance = r.length("thickness_tolerance");
  spec.grain = r.text("grain");
  spec.slope = r.number("slope_deg") * M_PI / 180;
  if (r.has("radius")) spec.radius = r.length("radius");
  spec.place = r.place("thickness");
  if (spec.radius != 0 && std::abs(spec.radius) < 5e-3)
    r.refuse("radius", "5 mm and more, or -5 mm and less, or 0", "use 0 for a flat wall");
  return spec;
}

/// Wall names in the file's order, checked.
std::vector<std::string> read_names(const Reader &shape, std::size_t corners) {
  const auto names = shape.texts("walls");
  if (names.size() != corners) {
    shape.refuse("walls", std::to_string(corners) + " names, one for each corner of the footprint",
                 "name the wall that runs from each corner to the next");
    return {};
  }
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == "top" || names[i] == "bottom" || names[i].empty() ||
        std::find(names.begin(), names.begin() + long(i), names[i]) != names.begin() + long(i)) {
      shape.refuse_value("walls", "\"" + names[i] + "\"", "each name once, none of them top or bottom",
                         "give every wall a name of its own");
      return {};
    }
  return names;
}

std::vector<Eigen::Vector2d> read_footprint(const Reader &r) {
  std::vector<Eigen::Vector2d> corners;
  const Node *node = r.node->find("footprint");
  if (node->kind != Node::Kind::list || node->items.size() < 3 || node->items.size() > 40) {
    r.refuse("footprint", "3 .. 40 corners [across, back]",
             "give a list such as [[0, 0], [220, 0], [170, 260], [50, 260]]");
    return corners;
  }
  for (const Node &corner : node->items) {
    Node holder;  // read through a list key of its own, for the message and the range of a length
    holder.file = corner.file;
    holder.line = corner.line;
    holder.set("footprint", corner);
    const auto xy = Reader{r.problems, &holder, r.path, r.groups}.lengths("footprint", 2, 2);
    corners.emplace_back(xy[0], xy[1]);
  }
  return corners;
}

void check_wall_tables(const Reader &shape, const std::vector<std::string> &names) {
  const auto walls = shape.table("wall", {});
  if (!walls) return;
  for (const auto &[name, node] : walls->node->entries) {
    const Place at{*node.file, node.line, walls->path + "." + name};
    if (std::find(names.begin(), names.end(), name) == names.end())
      shape.problems->add(at, "\"" + name + "\"", joined(names), "there is no such wall; " + suggestion(name, names));
    else if (node.kind != Node::Kind::table)
      shape.problems->add(at, value_text(node), "a table", "write [" + at.key + "] and its keys below");
  }
}

/// Ranks of the walls: 0 runs through everywhere.
std::vector<int> read_order(const Reader &shape, const std::vector<std::string> &names) {
  std::vector<int> rank;
  for (std::size_t i = 0; i < names.size(); ++i) rank.push_back(int(i));
  if (!shape.has("run_through")) return rank;
  const auto order = shape.texts("run_through");
  auto sorted = order, all = names;
  std::sort(sorted.begin(), sorted.end());
  std::sort(all.begin(), all.end());
  if (sorted != all) {
    shape.refuse("run_through", "all of " + joined(names),
                 "name every wall once, the one that runs through everywhere first");
    return rank;
  }
  for (std::size_t i = 0; i < names.size(); ++i)
    rank[i] = int(std::find(order.begin(), order.end(), names[i]) - order.begin());
  return rank;
}

void finish_boards(Build &b, ShapedCabinet &cabinet, const std::vector<WallSpec> &specs, const Reader &shape) {
  for (std::size_t i = 0; i < cabinet.boards.size(); ++i) {
    Board &board = cabinet.boards[i];
    const WallSpec &spec = specs[i];
    const auto [low, high] = outline_bounds(board);
    const bool along_u = (high.x() - low.x() >= high.y() - low.y()) == (spec.grain == "along");
    board.layers = {{spec.material, spec.thickness, along_u ? 0.0 : M_PI / 2}};
    board.thickness_tolerance = spec.tolerance;
    BoardInfo info;
    info.place = spec.place;
    info.kind = "wall";
    if (board.disc_radius > 0) info.offset = {board.disc_radius, board.disc_radius};
    info.user_size = high - low;
    register_name(b, shape, shape.has("walls") ? "walls" : "tube", board.name);
    add_board(b, board, info);
  }
}

bool read_footprint_shape(Build &b, const Reader &r, Shape &shape, ShapedCabinet &cabinet) {
  std::vector<std::string> names;
  std::vector<WallSpec> specs;
  std::vector<int> rank;
  const bool clean = read_cleanly(b, [&] {
    const std::vector<Eigen::Vector2d> corners = read_footprint(r);
    if (corners.empty()) return;
    if (!r.has("height")) r.refuse("height", allowed_text(*find_key({"shape"}, "height")), "add the key height");
    shape.height = r.length("height");
    shape.mitred = r.text("corners") == "mitre";
    names = read_names(r, corners.size());
    if (names.empty()) return;
    std::vector<std::string> all = names;
    all.insert(all.end(), {"top", "bottom"});
    check_wall_tables(r, all);
    if (r.has("board") && !r.table("board", {})) return;
    rank = read_order(r, all);
    for (const std::string &name : all) specs.push_back(read_wall(b, r, name));
    for (std::size_t i = 0; i < names.size(); ++i)
      shape.walls.push_back({names[i], corners[i], specs[i].thickness, specs[i].slope, specs[i].radius, rank[i]});
    names = all;
  });
  if (!clean || shape.walls.empty()) return false;
  const std::size_t sides = shape.walls.size();
  shape.top_thickness = specs[sides].thickness;
  shape.bottom_thickness = specs[sides + 1].thickness;
  shape.top_rank = rank[sides];
  shape.bottom_rank = rank[sides + 1];
  bool bent = false, sloped = false, mixed = false;
  for (std::size_t i = 0; i < sides; ++i) {
    bent = bent || specs[i].radius != 0;
    sloped = sloped || specs[i].slope != 0;
    for (const int lid : {shape.top_rank, shape.bottom_rank}) mixed = mixed || (rank[i] < lid) != (rank[0] < lid);
  }
  return read_cleanly(b, [&] {
    for (std::size_t lid = sides; lid < sides + 2; ++lid)
      if (specs[lid].slope != 0 || specs[lid].radius != 0)
        r.refuse_value("wall." + names[lid], "slope_deg or radius", "none for top and bottom", "these lie level");
    if (bent && sloped)
      r.refuse_value("wall", "a radius and a slope_deg", "one of them in a cabinet",
                     "where a wall is bent all walls stand upright");
    if (bent && mixed)
      r.refuse("run_through", "top and bottom each before all upright walls or behind them",
               "where a wall is bent, top and bottom lie within all walls or on all of them");
    if (b.problems().list.empty() == false && (bent && (sloped || mixed))) return;
    if (bent) shape.mitred = true;
    if (const auto error = shape_error(shape))
      r.refuse_value("footprint", (error->wall.empty() ? "" : "wall \"" + error->wall + "\" ") + error->what,
                     "a cabinet with room inside", error->advice);
    else {
      cabinet = make_shaped_cabinet(shape);
      finish_boards(b, cabinet, specs, r);
      if (sides == 4)
        cabinet.solids.box_form = BoxForm{rank, shape.mitred, {}, {}};
      else
        cabinet.solids.no_box = "it has " + std::to_string(sides) + " upright walls, not four";
    }
  });
}

bool read_tube_shape(Build &b, const Reader &r, Tube &tube, ShapedCabinet &cabinet) {
  std::vector<WallSpec> specs;
  std::array<std::string, 2> ends;
  const auto t = r.table("tube", {"tube"});
  if (!t) return false;
  const bool clean = read_cleanly(b, [&] {
    t->refuse_unknown_keys();
    tube.diameter = t->length("diameter");
    tube.length = t->length("length");
    tube.axis = direction_axis(t->text("along"));
    tube.inset = t->text("ends") == "inset";
    ends = tube.axis == 2   ? std::array<std::string, 2>{"bottom", "top"}
           : tube.axis == 1 ? std::array<std::string, 2>{"baffle", "back"}
                            : std::array<std::string, 2>{"left", "right"};
    check_wall_tables(r, {"tube", ends[0], ends[1]});
    if (r.has("board") && !r.table("board", {})) return;
    for (const std::string &name : {std::string("tube"), ends[0], ends[1]}) {
      specs.push_back(read_wall(b, r, name));
      if (specs.back().slope != 0 || specs.back().radius != 0)
        r.refuse_value("wall." + name, "slope_deg or radius", "none in a tube", "leave these keys out");
    }
    for (const char *key : {"height", "walls", "run_through", "corners", "chamfer"})
      if (r.has(key)) r.refuse(key, "only with footprint", "a tube has none; remove it");
  });
  if (!clean) return false;
  tube.wall = specs[0].thickness;
  tube.low_thickness = specs[1].thickness;
  tube.high_thickness = specs[2].thickness;
  return read_cleanly(b, [&] {
    if (tube.diameter - 2 * tube.wall < 10e-3)
      t->refuse("diameter", "more than " + length_text(2 * tube.wall + 10e-3), "the wall leaves no room inside");
    else if (tube.length - tube.low_thickness - tube.high_thickness < 5e-3)
      t->refuse("length", "more than " + length_text(tube.low_thickness + tube.high_thickness + 5e-3),
                "the ends leave no room inside");
    else {
      cabinet = make_tube_cabinet(tube, ends);
      cabinet.solids.no_box = "it is a tube";
      finish_boards(b, cabinet, specs, r);
    }
  });
}

void read_chamfers(Build &b, const Reader &shape, ShapedCabinet &cabinet) {
  std::set<std::pair<int, int>> done;
  for (const Reader &r : shape.tables("chamfer", {"chamfer"}, 40)) {
    read_cleanly(b, [&] {
      r.refuse_unknown_keys();
      const auto edge = r.texts("edge");
      const auto size = r.lengths("size", 1, 2);
      if (edge.size() != 2) return r.refuse("edge", "two walls that meet", "such as [\"baffle\", \"left\"]");
      const int first = find_board_named(b, r, "edge", edge[0], "\"" + edge[0] + "\""),
                second = find_board_named(b, r, "edge", edge[1], "\"" + edge[1] + "\"");
      if (first < 0 || second < 0 || size.empty()) return;
      const Board &A = cabinet.boards[std::size_t(first)], &B = cabinet.boards[std::size_t(second)];
      if (first == second || A.bend || B.bend || A.normal().cross(B.normal()).norm() < 0.05 ||
          A.disc_radius + B.disc_radius > 0)
        return r.refuse("edge", "two flat walls that meet at an edge", "name two flat neighbours");
      if (!done.emplace(std::min(first, second), std::max(first, second)).second)
        return r.refuse("edge", "each edge once", "this edge has a chamfer already; remove one of the two");
      const Chamfer chamfer = make_chamfer(cabinet, first, second, size[0], size.back());
      constexpr double least = 1e-3;
      if (chamfer.margin < least)
        return r.refuse("size", "so small that 1 mm of wood is left at the inner corner",
                        "it reaches " + length_text(least - chamfer.margin) + " too far; make it smaller");
      cabinet.solids.cuts.push_back(chamfer.body);
      if (cabinet.solids.box_form) cabinet.solids.box_form->bevels.push_back({first, second, size[0], size.back()});
      cabinet.solids.outer_planes.push_back(chamfer.plane);
    });
  }
}

}  // namespace

Node shape_wall_node(const Reader &shape, const std::string &name) {
  const Node *common = shape.node->find("board"), *walls = shape.node->find("wall");
  const Node *own = walls ? walls->find(name) : nullptr;
  if (own && own->kind != Node::Kind::table) own = nullptr;  // said already
  if (common && own) return merged(*common, *own);
  if (common || own) return common ? *common : *own;
  Node none;
  none.file = shape.node->file;
  none.line = shape.node->line;
  return none;
}

void read_shape(Build &b) {
  const auto r = b.root.table("shape", {"shape"});
  if (!r) {
    b.values_ok = false;
    return;
  }
  ShapedCabinet cabinet;
  RoomInside room_inside;
  Shape shape;
  Tube tube;
  r->refuse_unknown_keys();
  if (r->has("footprint") == r->has("tube")) {
    r->refuse(r->has("tube") ? "tube" : "footprint", "one of footprint and tube",
              r->has("tube") ? "remove one of the two" : "give the corners of the footprint, or a tube");
    b.values_ok = false;
    return;
  }
  if (r->has("footprint")) {
    if (!read_footprint_shape(b, *r, shape, cabinet)) b.values_ok = false;
    room_inside = [&](const std::vector<double> &rims, int axis, double low, double high) {
      return room_within(shape, rims, axis, low, high);
    };
  } else {
    if (!read_tube_shape(b, *r, tube, cabinet)) b.values_ok = false;
    room_inside = [&](const std::vector<double> &rims, int, double, double) { return room_within(tube, rims); };
  }
  if (!b.values_ok) return;
  if (r->text("elements") == "tetrahedra") {
    cabinet.solids.box_form.reset();
    cabinet.solids.no_box = "the case asks for them";
  }
  read_chamfers(b, *r, cabinet);
  read_shape_braces(b, *r, cabinet, room_inside);
  if (!b.values_ok) return;
  read_cut_outs(b);
  if (b.values_ok && read_cleanly(b, [&] { check_cut_outs(b); })) check_shape_cut_outs(b, cabinet);
  b.structure.solids = std::make_shared<const Solids>(std::move(cabinet.solids));
}

}  // namespace stillbox
