// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>
#include <optional>

#include "mesh/case_build.h"
#include "mesh/contact.h"

namespace stillbox {
namespace {

constexpr double tolerance = 1e-6;  // m

struct Crossing {
  int first = 0, second = 0;
  Sharing sharing = Sharing::first_owns;
  Place place;
  bool is_used = false;
};

std::optional<Crossing> read_crossing(Build &b, const Reader &r) {
  Crossing crossing;
  std::vector<std::string> names;
  std::string kind, through;
  const bool clean = read_cleanly(b, [&] {
    r.refuse_unknown_keys();
    names = r.texts("between");
    kind = r.text("kind");
    if (r.has("between") && names.size() != 2) r.refuse("between", "two names", "name the two boards that cross");
    if (r.has("through")) {
      through = r.text("through");
      if (kind == "half-lap") r.refuse("through", "only with kind = \"butt\"", "boards in a half-lap share: remove it");
      if (std::find(names.begin(), names.end(), through) == names.end())
        r.refuse("through", joined(names), "name one of the two boards");
    }
  });
  if (!clean || !b.values_ok) return std::nullopt;
  std::vector<std::string> known;
  int found[2] = {-1, -1};
  for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
    const Board &board = b.structure.boards[i];
    if (board.role != BoardRole::brace && board.role != BoardRole::free) continue;
    known.push_back(board.name);
    for (int k = 0; k < 2; ++k)
      if (board.name == names[k]) found[k] = int(i);
  }
  for (int k = 0; k < 2; ++k)
    if (found[k] < 0) {
      const std::string near = suggestion(names[k], known);
      r.refuse_value("between", "\"" + names[k] + "\"", joined(known),
                     near.empty() ? "there is no brace or free board of this name"
                                  : "there is no brace or free board of this name: " + near);
      return std::nullopt;
    }
  crossing.first = found[0];
  crossing.second = found[1];
  if (through == names[1]) std::swap(crossing.first, crossing.second);
  crossing.sharing = kind == "half-lap" ? Sharing::half_lap : Sharing::first_owns;
  crossing.place = r.place("between");
  return crossing;
}

bool is_full_plate(const BoardInfo &info) { return info.kind == "shelf" || info.kind == "window"; }
bool is_bar(const BoardInfo &info) { return info.kind == "bar" || info.kind == "corner block"; }

/// The rule when the file gives none: sheets give way to braces, plates run through bars, two plates are half-lapped.
Overlap default_rule(const Build &b, int i, int j) {
  const Board &a = b.structure.boards[i], &c = b.structure.boards[j];
  if (a.role == BoardRole::sheet && c.role != BoardRole::sheet) return {j, i, Sharing::first_owns};
  if (a.role == BoardRole::sheet || c.role == BoardRole::sheet) return {i, j, Sharing::first_owns};
  const bool first = is_full_plate(b.info[i]), second = is_full_plate(b.info[j]);
  if (first && second) return {i, j, Sharing::half_lap};
  if (second && b.info[i].kind != "wall") return {j, i, Sharing::first_owns};
  return {i, j, Sharing::first_owns};
}

/// Boards that cannot share: parallel plates, and a board that lies wholly inside another one.
bool is_possible(Build &b, int i, int j, const Eigen::Vector3d &low, const Eigen::Vector3d &high) {
  const Board &a = b.structure.boards[i], &c = b.structure.boards[j];
  const auto swallowed = [&](const Board &board) {
    const auto [from, to] = world_bounds(board);
    return (from - low).norm() < 1e-6 && (to - high).norm() < 1e-6;
  };
  if (a.role == BoardRole::sheet || c.role == BoardRole::sheet) {
    const bool is_first = a.role == BoardRole::sheet;
    if (!swallowed(is_first ? a : c)) return true;
    b.problems().add(b.info[is_first ? i : j].place, "\"" + (is_first ? a : c).name + "\"",
                     "a sheet of which something is left",
                     "\"" + (is_first ? c : a).name + "\" takes its whole space; move the brace or remove the sheet");
    return false;
  }
  const bool is_parallel = std::abs(a.normal().dot(c.normal())) > 0.5 && !is_bar(b.info[i]) && !is_bar(b.info[j]);
  if (!is_parallel && !swallowed(a) && !swallowed(c)) return true;
  b.problems().add(b.info[j].place, "\"" + c.name + "\"", "boards that cross or touch",
                   (is_parallel ? "lies in the same plane as \"" : "one lies wholly inside the other: \"") + a.name +
                       "\" and fills the same space; move one of them");
  return false;
}

/// World-axis bounds of any board, slanted or round (world_bounds is for those along x, y, z).
std::pair<Eigen::Vector3d, Eigen::Vector3d> true_bounds(const Board &board) {
  const auto [low, high] = outline_bounds(board);
  Eigen::Vector3d from = board.at(low.x(), low.y(), 0), to = from;
  for (const double u : {low.x(), high.x()})
    for (const double v : {low.y(), high.y()})
      for (const double n : {0.0, board.thickness()}) {
        from = from.cwiseMin(board.at(u, v, n));
        to = to.cwiseMax(board.at(u, v, n));
      }
  return {from, to};
}

/// Discs, polygons and slanted boards cannot be joined to others.
void check_stands_alone(Build &b, int i) {
  const Board &board = b.structure.boards[i];
  const auto [low, high] = true_bounds(board);
  for (std::size_t j = 0; j < b.structure.boards.size(); ++j) {
    if (int(j) == i) continue;
    const auto [other_low, other_high] = true_bounds(b.structure.boards[j]);
    const Eigen::Vector3d shared = high.cwiseMin(other_high) - low.cwiseMax(other_low);
    if (shared.minCoeff() < -tolerance) continue;
    b.problems().add(b.info[i].place, "\"" + board.name + "\"", "clear of every other board",
                     "only rectangular boards along x, y, z can be glued; this one meets \"" +
                         b.structure.boards[j].name + "\": move it away or make it a rectangle");
    return;
  }
}

/// Boards that give way to several others which fill their space together.
void check_wood_left(Build &b) {
  if (b.structure.overlaps.empty()) return;
  const std::vector<double> wood = contacts_of(b.structure).wood;
  for (int i = 0; i < int(wood.size()); ++i) {
    const Board &board = b.structure.boards[i];
    if (wood[i] > 0 || !is_axis_aligned_box(board)) continue;
    std::vector<std::string> others;
    for (const Overlap &o : b.structure.overlaps)
      if (o.second == i || (o.first == i && o.sharing != Sharing::first_owns))
        others.push_back("\"" + b.structure.boards[o.first == i ? o.second : o.first].name + "\"");
    const bool is_sheet = board.role == BoardRole::sheet;
    b.problems().add(
        b.info[i].place, "\"" + board.name + "\"",
        is_sheet ? "a sheet of which something is left" : "a board of which something is left",
        joined(others) + " take its whole space together; move or remove " + (is_sheet ? "the sheet" : "one of them"));
    b.values_ok = false;
  }
}

}  // namespace

void share_overlaps(Build &b) {
  const std::size_t before = b.problems().found;
  std::vector<Crossing> crossings;
  for (const Reader &r : b.root.tables("crossing", {"crossing"}, 200))
    if (const auto crossing = read_crossing(b, r)) crossings.push_back(*crossing);
  if (!b.values_ok) return;
  const int count = int(b.structure.boards.size());
  for (int i = 0; i < count; ++i) {
    if (!is_axis_aligned_box(b.structure.boards[i])) {
      check_stands_alone(b, i);
      continue;
    }
    for (int j = i + 1; j < count; ++j) {
      if (!is_axis_aligned_box(b.structure.boards[j]) || (b.info[i].kind == "wall" && b.info[j].kind == "wall"))
        continue;
      Eigen::Vector3d low, high;
      if (!boxes_meet(b.structure.boards[i], b.structure.boards[j], tolerance, &low, &high)) continue;
      if (!is_possible(b, i, j, low, high)) continue;
      Overlap rule = default_rule(b, i, j);
      for (Crossing &c : crossings)
        if (std::minmax(c.first, c.second) == std::minmax(i, j)) {
          rule = {c.first, c.second, c.sharing};
          c.is_used = true;
        }
      b.structure.overlaps.push_back(rule);
    }
  }
  for (const Crossing &c : crossings)
    if (!c.is_used)
      b.problems().add(c.place,
                       "\"" + b.structure.boards[c.first].name + "\" and \"" + b.structure.boards[c.second].name + "\"",
                       "boards that cross", "these two do not cross; move one of them or remove the crossing");
  if (b.problems().found == before) check_wood_left(b);
}

}  // namespace stillbox
