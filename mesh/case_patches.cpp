// SPDX-License-Identifier: MIT
#include "mesh/case_patches.h"

#include <cmath>

#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr double touch = 1e-6;         // m: closer than this is touching
constexpr double least_patch = 10e-3;  // m

std::string quoted(const std::string &name) { return "\"" + name + "\""; }

/// "18 mm .. 182 mm across, 18 mm .. 382 mm up", in the coordinates of the file.
std::string range_text(const BoardInfo &info, const Rectangle &place) {
  const Eigen::Vector2d low = place.low + info.offset, high = place.high + info.offset;
  const int across = info.swapped ? 1 : 0, up = 1 - across;
  return length_text(low[across]) + " .. " + length_text(high[across]) + " across, " + length_text(low[up]) + " .. " +
         length_text(high[up]) + " up";
}

Rectangle around(const CutOut &c) {
  const Eigen::Vector2d half(c.width / 2, c.height / 2);
  return {c.centre - half, c.centre + half};
}

/// A patch must cover a cut-out wholly or leave it alone, both with a web beside its edge. The rectangle around the
/// cut-out counts, also for a round one: its elements fill that.
bool clears_cut_outs(Build &b, const PatchSpec &patch, const Board &carrier, const Rectangle &place) {
  const double web = b.minimum_web - 1e-7;
  for (const CutOut &c : carrier.cut_outs) {
    const Rectangle hole = around(c);
    const double inside = std::min((hole.low - place.low).minCoeff(), (place.high - hole.high).minCoeff());
    const double beside = std::max((hole.low - place.high).maxCoeff(), (place.low - hole.high).maxCoeff());
    if (inside >= web || beside >= web) continue;
    const bool is_across = inside < 0 && beside < 0;
    patch.reader.refuse(patch.key,
                        "edges at least " + length_text(b.minimum_web) + " from the rectangle around a cut-out",
                        std::string(is_across ? "an edge of the sheet runs through the cut-out "
                                              : "an edge of the sheet lies too close to the cut-out ") +
                            quoted(c.name) + " of " + quoted(carrier.name) +
                            "; cover it wholly (it is cut through the sheet too) or stay clear of it" +
                            (is_across ? "" : " (least web: mesh.minimum_web)"));
    return false;
  }
  return true;
}

Rectangle centred(const Rectangle &clear, double part) {
  const Eigen::Vector2d middle = (clear.low + clear.high) / 2, half = std::sqrt(part) * (clear.high - clear.low) / 2;
  return {middle - half, middle + half};
}

}  // namespace

std::vector<PatchSpec> read_patches(const Reader &sheet) {
  std::vector<std::string> given;
  for (const char *key : {"covers_percent", "area", "areas"})
    if (sheet.has(key)) given.emplace_back(key);
  if (given.size() > 1) {
    sheet.refuse(given[1], "one of covers_percent, area, areas", "remove all but one");
    return {};
  }
  if (given.empty()) return {{sheet, "on", 1, {}, {}}};
  if (given[0] == "covers_percent") return {{sheet, given[0], sheet.number(given[0]) / 100, {}, {}}};
  std::vector<Reader> tables;
  if (given[0] == "areas") {
    tables = sheet.tables("areas", {"patch"}, 50);
    const Node &list = *sheet.node->find("areas");
    if (list.kind == Node::Kind::list && list.items.empty())
      sheet.refuse("areas", "1 .. 50 tables", "list at least one { centre = ..., size = ... }");
  } else if (const auto table = sheet.table("area", {"patch"})) {
    tables.push_back(*table);
  }
  std::vector<PatchSpec> patches;
  for (const Reader &r : tables) {
    r.refuse_unknown_keys();
    patches.push_back({r, "centre", 1, r.lengths("centre", 2, 2), r.lengths("size", 2, 2)});
  }
  return patches;
}

Rectangle clear_face(const Build &b, const CarrierFace &face) {
  const Board &board = b.structure.boards[face.board];
  const auto [low, high] = outline_bounds(board);
  if (board.role != BoardRole::wall || face.is_high) return {low, high};
  const auto [clear_low, clear_high] = clear_inner_face(*b.cabinet(), board);
  return {clear_low, clear_high};
}

bool place_patch(Build &b, const PatchSpec &patch, const CarrierFace &face, Rectangle &place) {
  const Board &carrier = b.structure.boards[face.board];
  const BoardInfo &info = b.info[face.board];
  const Rectangle clear = clear_face(b, face);
  const std::string face_name = "the " + face_words(carrier)[face.is_high] + " face of " + quoted(carrier.name);
  place = clear;
  if (patch.is_whole()) return true;
  if (patch.size.empty()) {
    place = centred(clear, patch.part);
    const double least = std::pow(least_patch / (clear.high - clear.low).minCoeff(), 2) * 100;
    if ((place.high - place.low).minCoeff() < least_patch - touch) {
      patch.reader.refuse(patch.key, least < 100 ? number_text(std::ceil(least)) + " .. 100 %" : "100 %",
                          "the patch on " + face_name + " would be narrower than 10 mm; cover more of it");
      return false;
    }
  } else {
    const Eigen::Vector2d centre = to_board(info, patch.centre);
    const int across = info.swapped ? 1 : 0;
    const Eigen::Vector2d half = Eigen::Vector2d(patch.size[across], patch.size[1 - across]) / 2;
    place = {centre - half, centre + half};
    if ((place.low - clear.low).minCoeff() < -touch || (clear.high - place.high).minCoeff() < -touch) {
      patch.reader.refuse(patch.key, range_text(info, clear),
                          "the patch of " + length_text(patch.size[0]) + " x " + length_text(patch.size[1]) +
                              " reaches beyond " + face_name + "; move it or make it smaller");
      return false;
    }
  }
  return clears_cut_outs(b, patch, carrier, place);
}

bool fits_beside_others(Build &b, const PatchSpec &patch, const CarrierFace &face, const Board &sheet,
                        const Place &thickness) {
  const Board &carrier = b.structure.boards[face.board];
  const Eigen::Vector3d normal = carrier.normal();
  const double level = carrier.at(0, 0, face.is_high ? carrier.thickness() : 0).dot(normal);
  const auto no_room = [&](double gap, const Board &other) {
    b.problems().add(thickness, length_text(sheet.thickness()), "up to " + length_text(gap),
                     "no room for " + quoted(sheet.name) + ": " + quoted(other.name) + " stands " + length_text(gap) +
                         " off this face; use a thinner sheet or move one of them");
    return false;
  };
  for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
    const Board &other = b.structure.boards[i];
    if (int(i) == face.board || !is_axis_aligned_box(other)) continue;
    Eigen::Vector3d low, high;
    if (!boxes_meet(sheet, other, touch, &low, &high)) continue;
    // How far off the face the other board starts.
    const double ends[2] = {low.dot(normal), high.dot(normal)};
    const double gap = std::min(std::abs(ends[0] - level), std::abs(ends[1] - level));
    const bool is_parallel = std::abs(other.normal().dot(normal)) > 0.5;
    if (other.role == BoardRole::sheet) {
      if (!is_parallel) continue;  // two sheets in a corner: the one listed first runs through
      if (other.attached_to == face.board) {
        const std::string advice = "this face already carries " + quoted(other.name) + " there; ";
        if (patch.key == "on")
          patch.reader.refuse_value(patch.key, quoted(carrier.name), "sheets that do not overlap",
                                    advice + "use layers for several on top of each other");
        else
          patch.reader.refuse(patch.key, "sheets that do not overlap",
                              advice + "move one of them, or use layers for several on top of each other");
        return false;
      }
      const bool between_walls =
          carrier.role == BoardRole::wall && b.structure.boards[other.attached_to].role == BoardRole::wall;
      if (!between_walls) return no_room(gap, other);
      continue;  // check_room leaves some room between opposite walls
    }
    if (carrier.role == BoardRole::wall && other.role == BoardRole::wall) continue;
    if (gap > touch) return no_room(gap, other);
    if (patch.is_whole()) continue;
    patch.reader.refuse(patch.key, "clear of what is glued to the face",
                        quoted(other.name) + " is glued there on " + quoted(carrier.name) +
                            "; move the patch, make it smaller or two on either side, or cover the whole face (a whole "
                            "sheet is cut out around it)");
    return false;
  }
  return true;
}

}  // namespace stillbox
