// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <string>
#include <vector>

#include "mesh/structure.h"

namespace stillbox {

/// A face of a board with an even raster of rectangles, about 8 mm a side, over its clear part: of a wall's inner face
/// what the other walls leave clear, of all other faces the outline's bounds. Rectangle (i, j) is number i + j * nu.
struct OpenFace {
  int board = 0;
  bool is_high = false;  ///< the face where the normal coordinate is greatest
  std::string word;      ///< "inner"; "left", "right", "front", "rear", "lower", "upper" (brace); "low", "high" (free)
  Eigen::Vector2d low{0, 0}, size{0, 0};  ///< of the raster, board coordinates, m
  int nu = 0, nv = 0;
  std::vector<double> open;             ///< share of each rectangle that is bare wood: 0 .. 1
  std::vector<Eigen::Vector2d> places;  ///< a point of that bare wood near its middle, board coordinates

  Eigen::Vector2d pitch() const { return {size.x() / nu, size.y() / nv}; }
  double area() const;  ///< of the bare wood, m2
};

/// The faces that could carry a sheet: the inner face of every wall, both faces of every brace and free board. Bare is
/// what no cut-out, no other board, no sheet and no mass spread over an area takes. Sixteen points of each rectangle
/// are asked, so edges are found to about 1 mm.
std::vector<OpenFace> open_faces(const Structure &structure);

/// Board coordinates (m) as a case file gives the centre of a cut-out: [across, up]. Wall: from the lower left corner
/// of the cabinet's outer face seen from outside; brace: in the order width, depth, height; free board: u, v.
Eigen::Vector2d case_place(const Structure &structure, int board, const Eigen::Vector2d &uv);
/// The same for an extent.
Eigen::Vector2d case_extent(const Structure &structure, int board, const Eigen::Vector2d &size);

}  // namespace stillbox
