// SPDX-License-Identifier: MIT
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

void build_sheet(Build &b, const Reader &r, int wall, const std::vector<LayerSpec> &layers, double tolerance) {
  const CabinetFrame &frame = *b.structure.cabinet;
  const Board carrier = b.structure.boards[frame.walls[wall]];
  double thickness = 0;
  for (const LayerSpec &layer : layers) thickness += layer.thickness;
  Eigen::Vector3d low = frame.inner_low, high = frame.inner_high;
  const int axis = wall_axis(wall);
  if (is_low_wall(wall))
    high[axis] = low[axis] + thickness;
  else
    low[axis] = high[axis] - thickness;
  Board board =
      board_from_box(r.text("name") + " on " + wall_name[wall], BoardRole::sheet, low, high, carrier.u, carrier.v);
  board.attached_to = frame.walls[wall];
  board.thickness_tolerance = tolerance;
  if (!set_layers(board, layers, true)) {
    r.refuse("layers", "along, across or a direction in the plane of the wall",
             std::string("the grain cannot run through the sheet on the wall ") + wall_name[wall]);
    return;
  }
  BoardInfo info;
  info.place = r.place(r.has("layers") ? "layers" : "thickness");
  info.kind = "sheet";
  const BoardInfo &wall_info = b.info[frame.walls[wall]];
  info.offset = wall_info.offset + Eigen::Vector2d((board.origin - carrier.origin).dot(carrier.u),
                                                   (board.origin - carrier.origin).dot(carrier.v));
  for (const Board &other : b.structure.boards)
    if (other.role == BoardRole::sheet && other.attached_to == board.attached_to) {
      r.refuse_value("on", std::string("\"") + wall_name[wall] + "\"", "one sheet per wall",
                     "this wall already carries \"" + other.name + "\"; use layers for several on top of each other");
      return;
    }
  add_board(b, board, info);
}

/// Sheets on opposite walls must leave room between them.
void check_room(Build &b) {
  const CabinetFrame &frame = *b.structure.cabinet;
  for (int axis = 0; axis < 3; ++axis) {
    double sum = 0;
    const BoardInfo *thickest = nullptr;
    double most = 0;
    for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
      const Board &board = b.structure.boards[i];
      if (board.role != BoardRole::sheet || std::abs(board.normal()[axis]) < 0.5) continue;
      sum += board.thickness();
      if (board.thickness() > most) {
        most = board.thickness();
        thickest = &b.info[i];
      }
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
  for (const Reader &r : b.root.tables("sheet", {"sheet"}, 12)) {
    std::vector<LayerSpec> layers;
    std::vector<std::string> walls;
    double tolerance = 0;
    const bool clean = read_cleanly(b, [&] {
      r.refuse_unknown_keys();
      register_name(b, r, "name", r.text("name"));
      walls = r.texts("on");
      if (r.has("on") && walls.empty())
        r.refuse("on", joined({wall_name.begin(), wall_name.end()}), "name the walls that carry it");
      layers = read_layers(b, r, "along", true);
      tolerance = r.length("thickness_tolerance");
      if (!b.root.has("cabinet")) r.refuse("on", "walls of a [cabinet]", "a sheet needs a [cabinet]");
    });
    if (!clean || !b.values_ok) continue;
    for (const std::string &wall : walls) build_sheet(b, r, wall_index(wall), layers, tolerance);
  }
  if (b.cabinet() && b.values_ok) check_room(b);
}

}  // namespace stillbox
