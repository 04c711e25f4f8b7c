// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/case_patches.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

struct SheetSpec {
  Reader reader;
  std::string name, face_word;    ///< face_word: "" for the usual face
  std::vector<std::string> on;    ///< names of boards
  std::vector<LayerSpec> layers;  ///< from the board outwards
  std::vector<PatchSpec> patches;
  double tolerance = 0;
};

/// `core` and `constraining` as two layers, or what read_layers finds.
std::vector<LayerSpec> read_sheet_layers(Build &b, const Reader &r) {
  if (!r.has("core") && !r.has("constraining")) return read_layers(b, r, "along", true);
  for (const char *other : {"layers", "material", "thickness"})
    if (r.has(other)) r.refuse(other, "either this, or core and constraining", "remove one of the two");
  std::vector<LayerSpec> layers;
  for (const char *key : {"core", "constraining"}) {
    if (!r.has(key)) {
      r.refuse(key, "{ material = ..., thickness = ... }",
               std::string("add the key ") + key + ": a constrained layer has a core and a constraining layer");
      continue;
    }
    const auto layer = r.table(key, {"layer"});
    if (!layer) continue;
    layer->refuse_unknown_keys();
    LayerSpec spec;
    const std::string material = layer->text("material");
    if (!material.empty()) spec.material = material_index(b, *layer, material);
    spec.thickness = layer->length("thickness");
    spec.grain = layer->has("grain") ? layer->text("grain") : "along";
    layers.push_back(spec);
  }
  return layers;
}

SheetSpec read_spec(Build &b, const Reader &r) {
  SheetSpec spec{r, r.text("name"), r.has("face") ? r.text("face") : "", {}, {}, {}, 0};
  r.refuse_unknown_keys();
  register_name(b, r, "name", spec.name);
  spec.on = r.texts("on");
  if (r.has("on") && r.node->find("on")->kind == Node::Kind::list && r.node->find("on")->items.empty())
    r.refuse("on", "walls, braces and free boards", "name the boards that carry it");
  spec.layers = read_sheet_layers(b, r);
  spec.patches = read_patches(r);
  spec.tolerance = r.length("thickness_tolerance");
  return spec;
}

/// A board that can carry a sheet; a problem and -1 when there is none of that name.
int find_carrier(Build &b, const Reader &r, const std::string &name) {
  const int board = find_board_named(b, r, "on", name, "\"" + name + "\"");
  if (board < 0 || is_axis_aligned_box(b.structure.boards[board])) return board;
  r.refuse_value("on", "\"" + name + "\"", "rectangular boards along x, y, z",
                 "a sheet cannot be laid on this shape; give the board layers instead, or make it a rectangle");
  return -1;
}

/// The faces that `face` means on a board; none after a problem.
std::vector<CarrierFace> faces_of(Build &b, const SheetSpec &spec, int board) {
  const Board &carrier = b.structure.boards[board];
  const auto words = face_words(carrier);
  const bool is_wall = carrier.role == BoardRole::wall;
  std::vector<CarrierFace> faces;
  if (spec.face_word.empty()) {
    faces = {{board, !is_wall}};
  } else if (spec.face_word == "both") {
    faces = {{board, false}, {board, true}};
  } else if (spec.face_word == words[0] || (spec.face_word == "low" && !is_wall)) {
    faces = {{board, false}};
  } else if (spec.face_word == words[1] || (spec.face_word == "high" && !is_wall)) {
    faces = {{board, true}};
  } else {
    const bool has_own = words[0] != "low" && !is_wall;
    spec.reader.refuse("face", joined({words[0], words[1]}) + (has_own ? ", low, high" : "") + ", both",
                       "\"" + carrier.name + "\" has no such face; use one of these words");
  }
  for (const CarrierFace &face : faces)
    if (!carrier.glued[face.is_high ? n_high : n_low]) {
      spec.reader.refuse(spec.reader.has("face") ? "face" : "on", "a face that is glued to what touches it",
                         "\"" + carrier.name + "\" has its " + words[face.is_high] +
                             " face left loose (`glued`), a sheet would fall off; glue that face or use the other");
      return {};
    }
  return faces;
}

const char *thickness_key(const Reader &r) {
  for (const char *key : {"layers", "core", "constraining"})
    if (r.has(key)) return key;
  return "thickness";
}

void build_sheet(Build &b, const SheetSpec &spec, const CarrierFace &face, std::size_t which) {
  const PatchSpec &patch = spec.patches[which];
  const Board carrier = b.structure.boards[face.board];
  const BoardInfo carrier_info = b.info[face.board];
  Rectangle place;
  if (!place_patch(b, patch, face, place)) return;
  double thickness = 0;
  for (const LayerSpec &layer : spec.layers) thickness += layer.thickness;
  const bool is_usual_side = face.is_high != (carrier.role == BoardRole::wall);
  const Eigen::Vector2d size = place.high - place.low;
  Board board = make_rectangle(
      spec.name + " on " + carrier.name + (is_usual_side ? "" : " " + face_words(carrier)[face.is_high]) +
          (spec.patches.size() > 1 ? " patch " + std::to_string(which + 1) : ""),
      carrier.at(place.low.x(), place.low.y(), face.is_high ? carrier.thickness() : -thickness), carrier.u, carrier.v,
      size.x(), size.y(), thickness, 0);
  board.role = BoardRole::sheet;
  board.attached_to = face.board;
  board.thickness_tolerance = spec.tolerance;
  if (!set_layers(board, spec.layers, !face.is_high)) {
    spec.reader.refuse(thickness_key(spec.reader), "along, across or a direction in the plane of the board",
                       "the grain cannot run through the sheet on \"" + carrier.name + "\"");
    return;
  }
  BoardInfo info;
  info.place = spec.reader.place(thickness_key(spec.reader));
  info.kind = "sheet";
  info.offset = carrier_info.offset + place.low;
  info.swapped = carrier_info.swapped;
  info.user_size = info.swapped ? Eigen::Vector2d(size.y(), size.x()) : size;
  if (fits_beside_others(b, patch, face, board, info.place)) add_board(b, board, info);
}

/// Sheets inside opposite walls must leave room between them.
void check_room(Build &b) {
  const CabinetFrame &frame = *b.structure.cabinet;
  for (int axis = 0; axis < 3; ++axis) {
    double sum = 0;
    const BoardInfo *thickest = nullptr;
    double most = 0;
    for (int wall = 0; wall < 6; ++wall) {
      if (wall_axis(wall) != axis) continue;
      const int carrier = frame.walls[wall];
      double of_wall = 0;
      for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
        const Board &board = b.structure.boards[i];
        const bool is_inside = (board.origin - b.structure.boards[carrier].origin).dot(board.normal()) < 0;
        if (board.role != BoardRole::sheet || board.attached_to != carrier || !is_inside) continue;
        of_wall = std::max(of_wall, board.thickness());
        if (board.thickness() > most) {
          most = board.thickness();
          thickest = &b.info[i];
        }
      }
      sum += of_wall;
    }
    const double room = frame.inner_high[axis] - frame.inner_low[axis];
    if (thickest && sum > room - 5e-3)
      b.problems().add(thickest->place, length_text(most), "up to " + length_text(room - 5e-3 - (sum - most)),
                       "the sheets leave no room within the clear " + direction_word(axis) + " of " +
                           length_text(room) + "; use a thinner sheet");
  }
}

}  // namespace

void read_sheets(Build &b) {
  std::vector<SheetSpec> specs;
  for (const Reader &r : b.root.tables("sheet", {"sheet"}, 100)) {
    SheetSpec spec;
    if (read_cleanly(b, [&] { spec = read_spec(b, r); })) specs.push_back(spec);
  }
  if (!b.values_ok) return;
  for (const SheetSpec &spec : specs)
    for (const std::string &name : spec.on) {
      const int carrier = find_carrier(b, spec.reader, name);
      if (carrier < 0) continue;
      for (const CarrierFace &face : faces_of(b, spec, carrier))
        for (std::size_t i = 0; i < spec.patches.size(); ++i) build_sheet(b, spec, face, i);
    }
  if (b.cabinet()) check_room(b);
}

}  // namespace stillbox
