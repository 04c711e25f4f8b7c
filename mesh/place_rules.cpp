// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "mesh/case_place.h"
#include "mesh/grid.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

// The pieces of a brace's face that are wood: a grid of rectangles between the edges of its openings.
std::vector<std::pair<Eigen::Vector2d, Eigen::Vector2d>> wood_of(const Board &board) {
  std::array<std::vector<double>, 2> lines;
  const auto [low, high] = outline_bounds(board);
  for (int d : {0, 1}) lines[d] = {low[d], high[d]};
  for (const CutOut &c : board.cut_outs) {
    const Eigen::Vector2d half(c.width / 2, c.height / 2);
    for (int d : {0, 1}) {
      lines[d].push_back(c.centre[d] - half[d]);
      lines[d].push_back(c.centre[d] + half[d]);
    }
  }
  for (auto &l : lines) std::sort(l.begin(), l.end());
  std::vector<std::pair<Eigen::Vector2d, Eigen::Vector2d>> pieces;
  for (std::size_t i = 0; i + 1 < lines[0].size(); ++i)
    for (std::size_t j = 0; j + 1 < lines[1].size(); ++j) {
      const Eigen::Vector2d a(lines[0][i], lines[1][j]), b(lines[0][i + 1], lines[1][j + 1]), middle = (a + b) / 2;
      const bool open = std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
        return c.shape == CutOutShape::rectangle && std::abs(middle.x() - c.centre.x()) < c.width / 2 &&
               std::abs(middle.y() - c.centre.y()) < c.height / 2;
      });
      if (!open && (b - a).minCoeff() > 1e-9) pieces.emplace_back(a, b);
    }
  return pieces;
}

// Whether a cylinder behind a cut-out meets the wood of a brace. Its axis runs along the wall's normal, so a piece is
// clear when its shadow on the wall keeps the radius from the axis, or it lies deeper.
bool meets(const Board &wall, const CutOut &hole, double depth, const Board &brace) {
  const Eigen::Vector3d face = wall.at(hole.centre.x(), hole.centre.y(), wall.thickness());
  const double radius = std::min(hole.width, hole.height) / 2;
  for (const auto &[a, b] : wood_of(brace)) {
    Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300), high = -low;
    for (const double u : {a.x(), b.x()})
      for (const double v : {a.y(), b.y()})
        for (const double n : {0.0, brace.thickness()}) {
          const Eigen::Vector3d r = brace.at(u, v, n) - face;
          const Eigen::Vector3d p(r.dot(wall.u), r.dot(wall.v), -r.dot(wall.normal()));
          low = low.cwiseMin(p);
          high = high.cwiseMax(p);
        }
    if (low.z() >= depth || high.z() <= 0) continue;
    const double x = std::max({low.x(), 0.0, -high.x()}), y = std::max({low.y(), 0.0, -high.y()});
    if (std::hypot(x, y) < radius - 1e-9) return true;
  }
  return false;
}

bool is_across(const CabinetFrame &frame, const Board &brace) {
  const auto [low, high] = world_bounds(brace);
  const int axis = axis_of(brace.normal());
  for (int d = 0; d < 3; ++d)
    if (d != axis && (std::abs(low[d] - frame.inner_low[d]) > 1e-6 || std::abs(high[d] - frame.inner_high[d]) > 1e-6))
      return false;
  return true;
}

}  // namespace

std::string place_objection(const PlaceRequest &request, const Structure &s, const std::vector<double> &driver_depth) {
  const Volumes volumes = volumes_of(s);
  if (request.most_mass > 0 && volumes.mass > request.most_mass)
    return "weighs " + number_text(volumes.mass) + " kg, more than most_mass_kg";
  if (request.least_volume > 0 && volumes.inner < request.least_volume)
    return "leaves " + number_text(1e3 * volumes.inner) + " l, less than least_volume_l";
  double widest = 0, widest_across = 0;
  for (const Board &board : s.boards)
    if (board.role == BoardRole::wall)
      for (const CutOut &c : board.cut_outs)
        if (std::min(c.width, c.height) > widest_across) {
          widest_across = std::min(c.width, c.height);
          widest = std::max(c.width, c.height);
        }
  for (const Board &board : s.boards) {
    if (board.role != BoardRole::brace) continue;
    if (request.least_open > 0 && s.cabinet && is_across(*s.cabinet, board)) {
      double open = 0;
      for (const CutOut &c : board.cut_outs) open += cut_out_area(c);
      if (open < request.least_open * outline_area(board))
        return "\"" + board.name + "\" leaves " + number_text(std::round(1000 * open / outline_area(board)) / 10) +
               " % open, less than least_open_percent";
    }
    if (request.insert == "through a cut-out") {
      const auto [low, high] = outline_bounds(board);
      const double lesser = (high - low).minCoeff();
      const double a = std::max(lesser, board.thickness()), b = std::min(lesser, board.thickness());
      if (a > widest || b > widest_across)
        return "\"" + board.name + "\" (" + length_text(board.thickness()) + " x " + length_text(lesser) +
               " at its narrowest) does not pass through the largest cut-out";
    }
    for (std::size_t m = 0; m < s.rim_masses.size(); ++m) {
      const RimMass &driver = s.rim_masses[m];
      if (m < driver_depth.size() && driver_depth[m] > 0 &&
          meets(s.boards[driver.board], s.boards[driver.board].cut_outs[driver.cut_out], driver_depth[m], board))
        return "the driver \"" + driver.name + "\" reaches into \"" + board.name + "\"";
    }
  }
  return "";
}

std::vector<double> driver_depths(const CaseTrees &trees, const std::string &variant, const Structure &s) {
  std::vector<double> depths(s.rim_masses.size(), 0);
  for (const auto &[name, tree] : trees.trees) {
    const Node *drivers = tree.find("driver");
    if (name != variant || !drivers) continue;
    std::vector<Node> list = drivers->items;
    if (drivers->kind == Node::Kind::table) list = {*drivers};
    for (const Node &driver : list) {
      const Node *cut_out = driver.find("cut_out");
      if (!cut_out || !driver.find("depth_behind_face")) continue;
      Problems ignored;
      const Reader r{&ignored, &driver, "driver", {"driver"}};
      for (std::size_t m = 0; m < s.rim_masses.size(); ++m)
        if (s.boards[s.rim_masses[m].board].cut_outs[s.rim_masses[m].cut_out].name == cut_out->text)
          depths[m] = r.length("depth_behind_face");
    }
  }
  return depths;
}

}  // namespace stillbox
