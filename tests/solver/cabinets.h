// SPDX-License-Identifier: MIT
#pragma once
#include "tests/solver/plates.h"

// Invented cabinets for the tests of mesh and solver.

namespace stillbox {

inline SolveOptions to(double up_to, int degree = 3, double fineness = 1) {
  SolveOptions options;
  options.up_to = up_to;
  options.degree = degree;
  options.fineness = fineness;
  return options;
}

enum class Corner { butt, mitre, rebate };

/// Six walls in the order of Wall; outer size W x D x H, all of one thickness. butt: baffle and back run through, the
/// sides lie between them, top and bottom between the sides. rebate: as butt, but baffle and back are let half-way into
/// full-depth sides. mitre: all walls have the full size of their face and share the corners along diagonals.
inline Structure cabinet(double W, double D, double H, double t, Corner corner, const Material &material) {
  using Eigen::Vector3d;
  Structure s;
  s.materials = {material};
  const Vector3d x = Vector3d::UnitX(), y = Vector3d::UnitY(), z = Vector3d::UnitZ();
  const auto add = [&](const char *name, const Vector3d &o, const Vector3d &u, const Vector3d &v, double a, double b) {
    s.boards.push_back(make_rectangle(name, o, u, v, a, b, t, 0));
    s.boards.back().role = BoardRole::wall;
  };
  if (corner == Corner::mitre) {
    add("baffle", {0, t, 0}, x, z, W, H);
    add("back", {W, D - t, 0}, -x, z, W, H);
    add("left", {t, D, 0}, -y, z, D, H);
    add("right", {W - t, 0, 0}, y, z, D, H);
    add("top", {0, 0, H - t}, x, y, W, D);
    add("bottom", {W, 0, t}, -x, y, W, D);
    for (int i = 0; i < 6; ++i)
      for (int j = i + 1; j < 6; ++j)
        if (i / 2 != j / 2) s.overlaps.push_back({i, j, Sharing::mitre});
  } else {
    const double in = corner == Corner::rebate ? t / 2 : 0;  // how far sides are cut away for baffle and back
    const double front = corner == Corner::rebate ? 0 : t, depth = corner == Corner::rebate ? D : D - 2 * t;
    add("baffle", {in, t, 0}, x, z, W - 2 * in, H);
    add("back", {W - in, D - t, 0}, -x, z, W - 2 * in, H);
    add("left", {t, front + depth, 0}, -y, z, depth, H);
    add("right", {W - t, front, 0}, y, z, depth, H);
    add("top", {t, t, H - t}, x, y, W - 2 * t, D - 2 * t);
    add("bottom", {W - t, t, t}, -x, y, W - 2 * t, D - 2 * t);
    if (corner == Corner::rebate)
      for (int through : {0, 1})
        for (int side : {2, 3}) s.overlaps.push_back({through, side, Sharing::first_owns});
  }
  CabinetFrame f;
  f.outer = {W, D, H};
  f.inner_low = {t, t, t};
  f.inner_high = {W - t, D - t, H - t};
  for (int i = 0; i < 6; ++i) f.walls[i] = i;
  s.cabinet = f;
  return s;
}

/// A horizontal brace across the inside whose lower face is at `height`; with `rim` > 0 a window brace of that rim.
inline void add_shelf(Structure &s, double height, double thickness, double rim = 0) {
  const Eigen::Vector3d low = s.cabinet->inner_low, high = s.cabinet->inner_high;
  const double a = high.x() - low.x(), b = high.y() - low.y();
  Board shelf = make_rectangle("shelf", {low.x(), low.y(), height}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(),
                               a, b, thickness, 0);
  shelf.role = BoardRole::brace;
  if (rim > 0) shelf.cut_outs = {{"window", CutOutShape::rectangle, {a / 2, b / 2}, a - 2 * rim, b - 2 * rim, true}};
  s.boards.push_back(shelf);
}

/// A stand-mount: two drivers, a port, a terminal plate, a window brace.
inline Structure stand_mount(const Material &material) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, material);
  s.boards[baffle].cut_outs = {{"woofer", CutOutShape::round, {0.11, 0.12}, 0.145, 0.145, false},
                               {"tweeter", CutOutShape::round, {0.11, 0.29}, 0.072, 0.072, false}};
  s.boards[back].cut_outs = {{"port", CutOutShape::round, {0.11, 0.28}, 0.05, 0.05, false},
                             {"terminal", CutOutShape::rectangle, {0.11, 0.1}, 0.06, 0.05, false}};
  s.rim_masses = {{"woofer", 0, 0, 1.8, true, 0.04, {0.004, 0.004, 0.005}},
                  {"tweeter", 0, 1, 0.5, false, 0, {0, 0, 0}}};
  add_shelf(s, 0.205, 0.018, 0.045);
  return s;
}

}  // namespace stillbox
