// SPDX-License-Identifier: MIT
#pragma once
#include <cstdint>
#include <limits>
#include <string>
#include <vector>

#include "mesh/structure.h"
#include "solver/modal_result.h"

namespace stillbox {

/// What is seen of a cabinet from outside, and its braces, as a coarse surface that moves: for the turning view of
/// report.html. Numbers are rounded to small integers so that many modes fit into one page.
struct ViewMesh {
  std::vector<std::string> boards;    ///< names, by number in `board`
  Eigen::Vector3d low{0, 0, 0};       ///< m
  double size = 1;                    ///< m: longest side of the bounds
  std::vector<std::uint16_t> points;  ///< x, y, z per vertex: low + size * number / 65535
  std::vector<std::int8_t> normals;   ///< unit normal * 127 on the large faces of boards, 0 0 0 on rims and edges
  std::vector<std::uint8_t> board;    ///< per vertex
  std::vector<std::uint16_t> quads;   ///< four vertices each
  std::vector<std::uint16_t> lines;   ///< two vertices each: sharp edges, rims and seams between boards
  std::vector<std::vector<std::int8_t>> shapes;  ///< per mode x, y, z per vertex: 127 is the mode's largest movement
};

struct ViewLimits {
  std::size_t points = 3500;
  std::size_t shape_bytes = std::numeric_limits<std::size_t>::max();  ///< of all modes' shapes
};

/// The free faces of the cells, without those that look into the cabinet's air from its walls and without damping
/// sheets inside. Each is divided so that pieces are about a sixteenth of the longest side, or coarser when there would
/// be more vertices than allowed; of tetrahedra round edges are halved, and all where that keeps within the limit (a
/// triangle is a quad with its last corner twice). Neighbours share their points. Vertices are double where faces meet
/// at an angle or boards meet. The first `most_modes` modes are kept, fewer when they take more bytes than allowed.
/// Errors of position: size / 131070; of movement: 1/254.
ViewMesh view_mesh(const Structure &structure, const ModalField &field, int most_modes, const ViewLimits &limits = {});

/// As JSON: {boards, low, size, points, normals, board, quads, lines} with numbers as base64 (RFC 4648) of their
/// little-endian bytes; `shapes` likewise, a list with one text per mode.
std::string view_mesh_json(const ViewMesh &mesh);

}  // namespace stillbox
