// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr double touch = 1e-7;  // m

struct BraceBox {
  Eigen::Vector3d low, high;
  int normal = 0;
  bool ok = true;
};

/// A span along an axis of the inner box, given from the inner low face; outside of the box it is a problem.
void set_span(const CabinetFrame &frame, const Reader &r, const std::string &key, int axis, double from, double to,
              const std::string &allowed, BraceBox &box) {
  const double room = frame.inner_high[axis] - frame.inner_low[axis];
  if (from < -touch || to > room + touch || to - from < 1e-4) {
    r.refuse(key, allowed,
             to - from < 1e-4 ? "it ends before it starts; give a larger span"
                              : "the brace lies outside the cabinet, which has a clear " + direction_word(axis) +
                                    " of " + length_text(room) + "; move it inside");
    box.ok = false;
  }
  box.low[axis] = frame.inner_low[axis] + from;
  box.high[axis] = frame.inner_low[axis] + to;
  if (std::abs(from) < touch) box.low[axis] = frame.inner_low[axis];
  if (std::abs(to - room) < touch) box.high[axis] = frame.inner_high[axis];
}

void set_centred(const CabinetFrame &frame, const Reader &r, const std::string &key, int axis, double centre,
                 double size, BraceBox &box) {
  const double room = frame.inner_high[axis] - frame.inner_low[axis];
  set_span(frame, r, key, axis, centre - size / 2, centre + size / 2,
           length_text(size / 2) + " .. " + length_text(room - size / 2), box);
}

void set_from_to(const CabinetFrame &frame, const Reader &r, int axis, BraceBox &box) {
  const double room = frame.inner_high[axis] - frame.inner_low[axis];
  const double from = r.has("from") ? r.length("from") : 0, to = r.has("to") ? r.length("to") : room;
  const bool is_from_wrong = from > room || !r.has("to");
  set_span(frame, r, is_from_wrong ? "from" : "to", axis, from, to, "from < to within 0 .. " + length_text(room), box);
}

void stand_on_wall(const CabinetFrame &frame, const Reader &r, const std::string &key, int wall, double stand_off,
                   BraceBox &box) {
  const int axis = wall_axis(wall);
  const double room = frame.inner_high[axis] - frame.inner_low[axis];
  const double from = is_low_wall(wall) ? 0 : room - stand_off;
  set_span(frame, r, key, axis, from, from + stand_off, "up to " + length_text(room), box);
}

BraceBox plate_box(const CabinetFrame &frame, const Reader &r, double thickness) {
  BraceBox box{frame.inner_low, frame.inner_high, direction_axis(r.text("normal")), true};
  set_centred(frame, r, "at", box.normal, r.length("at"), thickness, box);
  return box;
}

BraceBox rib_box(const CabinetFrame &frame, const Reader &r, double thickness) {
  BraceBox box{frame.inner_low, frame.inner_high, 0, true};
  const int wall = wall_index(r.text("on")), along = direction_axis(r.text("along"));
  if (along == wall_axis(wall)) {
    r.refuse("along", "a direction in the plane of the wall", "a rib runs along its wall; name another direction");
    box.ok = false;
    return box;
  }
  box.normal = 3 - along - wall_axis(wall);
  set_from_to(frame, r, along, box);
  stand_on_wall(frame, r, "stand_off", wall, r.length("stand_off"), box);
  set_centred(frame, r, "at", box.normal, r.length("at"), thickness, box);
  return box;
}

BraceBox bar_box(const CabinetFrame &frame, const Reader &r) {
  BraceBox box{frame.inner_low, frame.inner_high, 0, true};
  const auto walls = r.texts("between");
  if (walls.size() != 2 || wall_axis(wall_index(walls[0])) != wall_axis(wall_index(walls[1]))) {
    r.refuse("between", "[\"left\", \"right\"], [\"baffle\", \"back\"] or [\"bottom\", \"top\"]",
             "a bar runs between two opposite walls");
    box.ok = false;
    return box;
  }
  const int along = wall_axis(wall_index(walls[0]));
  const int first = along == 0 ? 1 : 0, second = along == 2 ? 1 : 2;
  const auto at = r.lengths("at", 2, 2), section = r.lengths("section", 2, 2);
  set_centred(frame, r, "at", first, at[0], section[0], box);
  set_centred(frame, r, "at", second, at[1], section[1], box);
  box.normal = section[0] <= section[1] ? first : second;
  return box;
}

BraceBox block_box(const CabinetFrame &frame, const Reader &r) {
  BraceBox box{frame.inner_low, frame.inner_high, 0, true};
  const auto walls = r.texts("edge");
  if (walls.size() != 2 || wall_axis(wall_index(walls[0])) == wall_axis(wall_index(walls[1]))) {
    r.refuse("edge", "two walls that meet, such as [\"left\", \"top\"]", "a corner block sits between two neighbours");
    box.ok = false;
    return box;
  }
  const int first = wall_index(walls[0]), second = wall_index(walls[1]);
  const auto section = r.lengths("section", 2, 2);
  stand_on_wall(frame, r, "section", first, section[0], box);
  stand_on_wall(frame, r, "section", second, section[1], box);
  set_from_to(frame, r, 3 - wall_axis(first) - wall_axis(second), box);
  box.normal = section[0] <= section[1] ? wall_axis(first) : wall_axis(second);
  return box;
}

bool touches(const CabinetFrame &frame, const BraceBox &box, int wall) {
  const int axis = wall_axis(wall);
  return is_low_wall(wall) ? std::abs(box.low[axis] - frame.inner_low[axis]) < touch
                           : std::abs(box.high[axis] - frame.inner_high[axis]) < touch;
}

Side side_towards(const BraceBox &box, int wall) {
  const int axis = wall_axis(wall), turn = (axis - box.normal + 3) % 3;  // 1: u, 2: v, 0: the normal
  const int low_side = turn == 1 ? u_low : turn == 2 ? v_low : n_low;
  return Side(low_side + (is_low_wall(wall) ? 0 : 1));
}

void set_glue(const Build &b, const Reader &r, const BraceBox &box, Board &board) {
  if (!r.has("glued")) return;
  const CabinetFrame &frame = *b.cabinet();
  const auto glued = r.texts("glued");
  std::vector<std::string> touched;
  for (int w = 0; w < 6; ++w) {
    if (!touches(frame, box, w)) continue;
    touched.push_back(wall_name[w]);
    if (std::find(glued.begin(), glued.end(), wall_name[w]) == glued.end()) board.glued[side_towards(box, w)] = false;
  }
  for (const std::string &name : glued)
    if (std::find(touched.begin(), touched.end(), name) == touched.end())
      r.refuse_value("glued", "\"" + name + "\"", joined(touched), "the brace does not touch this wall; remove it");
  if (glued.empty()) r.refuse("glued", joined(touched), "a brace that is glued to nothing holds nothing; name a wall");
}

/// The brace with the material and thickness of [cabinet.board] filled in where it does not say its own.
Node with_defaults(const Build &b, const Reader &r, bool needs_thickness) {
  Node node = *r.node;
  const Node *cabinet = b.root.node->find("cabinet");
  const Node *common = cabinet ? cabinet->find("board") : nullptr;
  if (!common || node.find("layers")) return node;
  for (const char *key : {"material", "thickness"}) {
    if (node.find(key) || (std::string(key) == "thickness" && !needs_thickness)) continue;
    const Node *value = common->find(key);
    if (value) node.set(key, *value);
  }
  return node;
}

void read_values(Build &b, const Reader &r, const std::string &kind) {
  r.refuse_unknown_keys();
  r.texts("glued");
  r.length("thickness_tolerance");
  if (kind == "shelf" || kind == "window") {
    r.text("normal");
    r.length("at");
  } else if (kind == "rib") {
    for (const char *key : {"on", "along"}) r.text(key);
    for (const char *key : {"at", "stand_off"}) r.length(key);
  } else if (kind == "bar") {
    r.texts("between");
    for (const char *key : {"at", "section"}) r.lengths(key, 2, 2);
  } else {
    r.texts("edge");
    r.lengths("section", 2, 2);
  }
  for (const char *key : {"from", "to"})
    if (r.has(key)) r.length(key);
  if (!b.root.has("cabinet"))
    r.refuse("kind", "braces inside a [cabinet]", "a brace needs a [cabinet]; use [[board]] for a board on its own");
}

std::vector<LayerSpec> read_material(Build &b, const Reader &r, bool is_plate) {
  if (is_plate) return read_layers(b, r, "along", true);
  LayerSpec spec;
  spec.grain = r.text("grain");
  if (r.has("material"))
    spec.material = material_index(b, r, r.text("material"));
  else
    r.refuse("material", "the name of a material", "add the key material");
  return {spec};
}

void build_brace(Build &b, const Reader &r, const std::string &kind, std::vector<LayerSpec> layers) {
  const CabinetFrame &frame = *b.cabinet();
  double thickness = 0;
  for (const LayerSpec &layer : layers) thickness += layer.thickness;
  const bool is_plate = kind == "shelf" || kind == "window";
  const BraceBox box = is_plate        ? plate_box(frame, r, thickness)
                       : kind == "rib" ? rib_box(frame, r, thickness)
                       : kind == "bar" ? bar_box(frame, r)
                                       : block_box(frame, r);
  if (!box.ok) {
    b.values_ok = false;
    return;
  }
  Board board =
      board_from_box(r.text("name"), BoardRole::brace, box.low, box.high, Eigen::Vector3d::Unit((box.normal + 1) % 3),
                     Eigen::Vector3d::Unit((box.normal + 2) % 3));
  if (thickness == 0) layers[0].thickness = box.high[box.normal] - box.low[box.normal];
  if (!set_layers(board, layers, false)) {
    r.refuse(r.has("layers") ? "layers" : "grain", "along, across or a direction in the plane of the brace",
             "the grain cannot run through its thickness");
    return;
  }
  board.thickness_tolerance = r.length("thickness_tolerance");
  set_glue(b, r, box, board);
  BoardInfo info;
  info.place = r.place("name");
  info.kind = kind;
  info.swapped = box.normal == 1;
  const Eigen::Vector2d size = outline_bounds(board).second;
  info.user_size = info.swapped ? Eigen::Vector2d(size.y(), size.x()) : size;
  const int index = add_board(b, board, info);
  if (kind == "window") add_openings(b, r, index);
}

}  // namespace

void read_braces(Build &b) {
  for (const Reader &listed : b.root.tables("brace", {"brace"}, 150)) {
    Reader r = listed;
    Node node;
    std::string kind;
    std::vector<LayerSpec> layers;
    bool clean = read_cleanly(b, [&] {
      register_name(b, r, "name", r.text("name"));
      kind = r.text("kind");
    });
    if (!clean) continue;
    const bool is_flat = kind == "shelf" || kind == "window" || kind == "rib";
    r.groups.push_back("brace " + kind);
    clean = read_cleanly(b, [&] { read_values(b, r, kind); });
    node = with_defaults(b, r, is_flat);
    r.node = &node;
    clean = read_cleanly(b, [&] { layers = read_material(b, r, is_flat); }) && clean;
    if (clean && b.cabinet()) build_brace(b, r, kind, layers);
  }
}

}  // namespace stillbox
