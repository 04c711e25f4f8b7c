// SPDX-License-Identifier: MIT
#include "mesh/box_bevels.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

// Depth of the mesh's line at which a notch begins: in the middle of the wall or near, as its corner moves outwards.
constexpr double notch_line = 0.35, notch_line_at_basket = 0.6;  // the latter is there anyway

bool carries_basket(const Structure &s, int board) {
  return std::any_of(s.rim_masses.begin(), s.rim_masses.end(),
                     [&](const RimMass &mass) { return mass.rigid_basket && mass.board == board; });
}

}  // namespace

void add_bevels(BoxedShape &b, const BoxForm &form) {
  BoxEdges &e = b.edges;
  for (const BoxForm::Bevel &bevel : form.bevels) {
    BoxBevel notch;
    const std::array<int, 2> board{bevel.first, bevel.second};
    for (std::size_t k = 0; k < 2; ++k) {
      if (board[k] >= 6) throw NoBox{"the bevel of a brace is no corner of a box"};
      const int at = int(std::find(e.wall.begin(), e.wall.end(), board[k]) - e.wall.begin());
      notch.axis[k] = at / 2;
      notch.side[k] = at % 2 ? 1 : -1;
      notch.line[k] = carries_basket(b.box, board[k]) ? notch_line_at_basket : notch_line;
    }
    const int along = 3 - notch.axis[0] - notch.axis[1];
    for (const BoxBevel &other : e.bevels)
      if (3 - other.axis[0] - other.axis[1] != along) throw NoBox{"bevels run into each other at a corner"};
    const auto edge_at = [&](double first, double second) {
      Strips strips;
      strips[std::size_t(notch.axis[0])] = {notch.side[0], first};
      strips[std::size_t(notch.axis[1])] = {notch.side[1], second};
      return edge_of(e, along, strips);
    };
    const BoxEdge outer = edge_at(1, 1);
    const Eigen::Vector3d way = (outer.to - outer.from).normalized();
    const double size[2] = {bevel.a, bevel.b};
    for (const std::size_t k : {0, 1}) {  // over wall k up to the inner face of the other one
      const double room = (edge_at(k == 0 ? 1 : 0, k == 0 ? 0 : 1).from - outer.from).cross(way).norm();
      constexpr double least_left = 0.05;
      notch.cut[1 - k] = 1 - size[k] / room;
      if (notch.cut[1 - k] < least_left)
        throw NoBox{"the bevel between \"" + e.shape->boards[std::size_t(board[0])].name + "\" and \"" +
                    e.shape->boards[std::size_t(board[1])].name + "\" reaches over the thickness of its walls"};
    }
    e.bevels.push_back(notch);
  }
}

void cut_notches(const BoxedShape &b, Grid &grid) {
  if (b.edges.bevels.empty()) return;
  const BoxEdges &e = b.edges;
  struct Range {
    double low, high;
  };
  std::vector<std::array<Range, 2>> ranges;
  for (const BoxBevel &bevel : e.bevels) {
    std::array<Range, 2> range{};
    for (std::size_t k = 0; k < 2; ++k) {
      const int axis = bevel.axis[k], side = bevel.side[k];
      const double inner = side < 0 ? e.inner_low[axis] : e.inner_high[axis];
      const double thickness = e.thickness[std::size_t(2 * axis + (side > 0 ? 1 : 0))];
      const double line = inner + side * bevel.line[k] * thickness, outer = inner + side * thickness;
      auto &lines = grid.lines[std::size_t(axis)];
      // The wall's own line near its inner face moves here.
      lines.erase(std::remove_if(lines.begin(), lines.end(),
                                 [&](double x) {
                                   const double depth = side * (x - inner) / thickness;
                                   return depth > 0.05 && depth < 0.95 && std::abs(depth - bevel.line[k]) < 0.2;
                                 }),
                  lines.end());
      lines.push_back(line);
      std::sort(lines.begin(), lines.end());
      range[k] = {std::min(line, outer), std::max(line, outer)};
    }
    ranges.push_back(range);
  }
  settle_owners(b.box, grid);
  const auto n = grid.blocks();
  for (int k = 0; k < n[2]; ++k)
    for (int j = 0; j < n[1]; ++j)
      for (int i = 0; i < n[0]; ++i) {
        const std::array<int, 3> block{i, j, k};
        for (std::size_t c = 0; c < ranges.size(); ++c) {
          bool is_cut = true;
          for (std::size_t w = 0; w < 2; ++w) {
            const std::size_t axis = std::size_t(e.bevels[c].axis[w]);
            const auto &lines = grid.lines[axis];
            const double middle = (lines[std::size_t(block[axis])] + lines[std::size_t(block[axis]) + 1]) / 2;
            is_cut = is_cut && middle > ranges[c][w].low && middle < ranges[c][w].high;
          }
          if (is_cut) grid.owners[std::size_t(grid.index(block))] = Owner{};
        }
      }
}

}  // namespace stillbox
