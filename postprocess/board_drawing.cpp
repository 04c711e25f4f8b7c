// SPDX-License-Identifier: MIT
#include "postprocess/board_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/length.h"
#include "postprocess/dxf_file.h"

namespace stillbox {
namespace {

void draw_outline(DxfDrawing &d, const Board &board, const CutWork &work, const Eigen::Vector2d &corner) {
  if (!work.trim_low.isZero() || !work.trim_high.isZero()) {
    dxf_rectangle(d, "OUTLINE", work.trim_low, outline_bounds(board).second - corner - work.trim_high);
    return;
  }
  if (board.disc_radius > 0) {
    dxf_circle(d, "OUTLINE", -corner, board.disc_radius);
    return;
  }
  const std::size_t n = board.outline.size();
  for (std::size_t i = 0; i < n; ++i)
    dxf_line(d, "OUTLINE", board.outline[i] - corner, board.outline[(i + 1) % n] - corner);
}

void draw_slot(DxfDrawing &d, const CutOut &c, const Eigen::Vector2d &centre) {
  const bool is_wide = c.width >= c.height;
  const double r = std::min(c.width, c.height) / 2, reach = std::max(c.width, c.height) / 2 - r;
  const Eigen::Vector2d along = is_wide ? Eigen::Vector2d(reach, 0) : Eigen::Vector2d(0, reach);
  const Eigen::Vector2d across = is_wide ? Eigen::Vector2d(0, r) : Eigen::Vector2d(r, 0);
  for (const double side : {-1.0, 1.0})
    dxf_line(d, "CUT_OUTS", centre - along + side * across, centre + along + side * across);
  const double start = is_wide ? -M_PI / 2 : 0;  // of the end where `along` points
  dxf_arc(d, "CUT_OUTS", centre + along, r, start < 0 ? start + 2 * M_PI : start, start + M_PI);
  dxf_arc(d, "CUT_OUTS", centre - along, r, start + M_PI, start + 2 * M_PI);
}

void draw_cut_out(DxfDrawing &d, const CutOut &c, const Eigen::Vector2d &corner) {
  const Eigen::Vector2d centre = c.centre - corner, half(c.width / 2, c.height / 2);
  if (c.is_circle())
    dxf_circle(d, "CUT_OUTS", centre, c.width / 2);
  else if (c.shape == CutOutShape::rectangle)
    dxf_rectangle(d, "CUT_OUTS", centre - half, centre + half);
  else
    draw_slot(d, c, centre);
}

void draw_mitre(DxfDrawing &d, const MitreCut &m, const Eigen::Vector2d &size, double letter) {
  Eigen::Vector2d from(0, 0), to = size;
  if (m.side == u_low) from.x() = to.x() = m.width;
  if (m.side == u_high) from.x() = to.x() = size.x() - m.width;
  if (m.side == v_low) from.y() = to.y() = m.width;
  if (m.side == v_high) from.y() = to.y() = size.y() - m.width;
  dxf_line(d, "MITRES", from, to);
  dxf_text(d, "MITRES", (from + to) / 2, letter, mitre_words(m));
}

/// "Grain along y", of every layer that has one, in the axes of the drawing.
std::string grain_note(const CutList &list, int board) {
  std::string text;
  for (const CutPart &part : list.parts) {
    if (part.index != board || !part.has_grain) continue;
    // From the length towards the width; in the drawing from x or y, counter-clockwise.
    const double degrees = part.grain_angle * 180 / M_PI + (part.length_is_u ? 0 : 90);
    const std::string way = part.grain_angle != 0 ? fmt::format("{:.4g} deg from x", degrees)
                            : part.length_is_u    ? std::string("along x")
                                                  : std::string("along y");
    text += (text.empty() ? "Grain " : "; ") + way +
            (part.layers > 1 ? fmt::format(" in layer {} of {}", part.layer + 1, part.layers) : "");
  }
  return text.empty() ? "Grain: any way" : text;
}

}  // namespace

void draw_line(DxfDrawing &d, const std::string &layer, const CutLine &l) {
  const auto arc = l.is_straight ? std::nullopt : arc_of(l);
  if (!arc) return dxf_line(d, layer, l.from, l.to);
  double from = arc->sweep > 0 ? arc->from : arc->from + arc->sweep;
  while (from < 0) from += 2 * M_PI;
  if (std::abs(arc->sweep) > 2 * M_PI - 1e-9) return dxf_circle(d, layer, arc->centre, arc->radius);
  dxf_arc(d, layer, arc->centre, arc->radius, from, from + std::abs(arc->sweep));
}

void draw_solid(DxfDrawing &d, const Structure &s, int index, const SolidCut &cut, double letter) {
  for (const CutLine &l : cut.outline) draw_line(d, "OUTLINE", l);
  for (const CutLine &l : cut.openings) draw_line(d, "CUT_OUTS", l);
  for (const CutLine &l : cut.other_edges) draw_line(d, "MITRES", l);
  for (const EdgeCut &edge : cut.edges)
    if (edge.angle > 0) dxf_text(d, "MITRES", edge.line.middle, letter, edge_words(s, index, edge));
  for (const auto &[with, lines] : cut.marks) {
    for (const CutLine &l : lines) draw_line(d, "BRACES", l);
    dxf_text(d, "BRACES", lines.front().from, letter,
             fmt::format("{}, {} face", with, face_words(s.boards[std::size_t(index)])[0]));
  }
}

std::string board_drawing_dxf(const Structure &s, int index, const CutList &list) {
  const Board &board = s.boards[index];
  const CutWork &work = list.work[index];
  auto [corner, far_corner] = outline_bounds(board);
  if (work.solid) {
    corner = work.solid->low;
    far_corner = work.solid->high;
  }
  const Eigen::Vector2d size = far_corner - corner;
  DxfDrawing d;
  d.layers = {{"OUTLINE", 7, false}, {"CUT_OUTS", 1, false}, {"NOTCHES", 6, false}, {"REBATES", 3, true},
              {"MITRES", 4, true},   {"BRACES", 5, true},    {"NOTES", 2, false}};
  const double letter = std::clamp(0.02 * size.maxCoeff(), 2e-3, 8e-3);
  work.solid ? draw_solid(d, s, index, *work.solid, letter) : draw_outline(d, board, work, corner);
  for (const CutOut &c : board.cut_outs) draw_cut_out(d, c, corner);
  const auto faces = face_words(board);
  for (const JointCut &cut : work.cuts) {
    const bool is_rebate = cut.kind == JointCut::Kind::rebate;
    dxf_rectangle(d, is_rebate ? "REBATES" : "NOTCHES", cut.low, cut.high);
    if (is_rebate)
      dxf_text(d, "REBATES", (cut.low + cut.high) / 2, letter,
               fmt::format("{} deep from the {} face", length_text(cut.depth), faces[cut.on_low_face ? 0 : 1]));
  }
  for (const MitreCut &mitre : work.mitres) draw_mitre(d, mitre, size, letter);
  for (const MarkedPlace &mark : work.marks) {
    dxf_rectangle(d, "BRACES", mark.low, mark.high);
    dxf_text(d, "BRACES", mark.low, letter, fmt::format("{}, {} face", mark.with, faces[mark.on_low_face ? 0 : 1]));
  }
  const std::string view = board.role == BoardRole::wall ? "seen from outside" : "seen from the " + faces[1] + " face";
  std::vector<std::string> notes = {fmt::format("{}: {} x {}, {} thick", board.name, length_text(size.x()),
                                                length_text(size.y()), length_text(board.thickness())),
                                    "Finished size, 1:1, unit mm, " + view + ". Allow for the saw.",
                                    grain_note(list, index),
                                    "Local codes first. Dust harms lungs: extraction, mask, eye and ear protection."};
  if (work.solid && work.solid->bent) notes.insert(notes.begin() + 1, "Laid flat: " + bent_words(*work.solid->bent));
  Eigen::Vector2d at(0, -2 * letter);
  for (const std::string &note : notes) {
    dxf_text(d, "NOTES", at, letter, note);
    at.y() -= 1.8 * letter;
  }
  return dxf_file(d);
}

}  // namespace stillbox
