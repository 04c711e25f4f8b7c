// SPDX-License-Identifier: MIT
#include "solver/cell_laws.h"

#include <algorithm>
#include <cmath>

#include "mesh/mitre.h"

namespace stillbox {

int sectors_of(const Board &board) {
  if (!board.bend) return 0;
  const auto [low, high] = outline_bounds(board);
  constexpr double widest = 3 * M_PI / 180;  // half of it off: the law by its square, 0.07 %
  return std::max(1, int(std::ceil((high.x() - low.x()) / board.bend->radius / widest)));
}

int sector_at(const Board &board, const Eigen::Vector3d &x) {
  const auto [low, high] = outline_bounds(board);
  const int sectors = sectors_of(board);
  return std::clamp(int((board.coordinates_of(x).x() - low.x()) / (high.x() - low.x()) * sectors), 0, sectors - 1);
}

CellLaws make_laws(const Structure &s) {
  CellLaws laws;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    laws.layer_of.emplace_back();
    const auto add = [&](const Layer &layer, const Eigen::Matrix3d &axes) {
      const Material &m = s.materials[layer.material];
      LayerLaw law;
      law.law = to_world(rotate_about_normal(m.law, layer.grain_angle), axes);
      law.density = m.density;
      law.loss_factor = m.loss_factor;
      law.board = int(b);
      law.material = layer.material;
      laws.layer_of.back().push_back(int(laws.layers.size()));
      laws.layers.push_back(law);
    };
    const int sectors = sectors_of(board);
    for (int sector = 0; sector < sectors; ++sector) {
      const auto [low, high] = outline_bounds(board);
      const double a = low.x() + (high.x() - low.x()) * (sector + 0.5) / sectors;
      add(board.layers[0], board.axes_at(board.at(a, 0, 0)));
    }
    if (sectors > 0) continue;
    Eigen::Matrix3d axes;
    axes << board.u, board.v, board.normal();
    for (const Layer &layer : board.layers) add(layer, axes);
  }
  return laws;
}

Eigen::VectorXd first_share(const Structure &s, const HexCell &cell, const CellGeometry &g) {
  Eigen::VectorXd share = Eigen::VectorXd::Ones(g.weights.size());
  if (cell.mate < 0) return share;
  const Board &first = s.boards[cell.board], &second = s.boards[cell.mate];
  for (int q = 0; q < share.size(); ++q) {
    const double side = mitre_side(first, second, g.places.row(q));
    share[q] = std::abs(side) < 1e-9 ? 0.5 : side > 0 ? 1 : 0;
  }
  // A sum over Gauss points does not hit the volume on each side of a cut that crosses the cell; what is missing is
  // taken evenly from the other side's points.
  const double part = share.dot(g.weights) / g.weights.sum();
  if (part < cell.first_part)
    share.array() += (1 - share.array()) * ((cell.first_part - part) / (1 - part));
  else if (part > cell.first_part)
    share *= cell.first_part / part;
  return share;
}

}  // namespace stillbox
