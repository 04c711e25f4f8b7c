// SPDX-License-Identifier: MIT
#include "mesh/shape_room.h"

#include <algorithm>
#include <cmath>

#include "mesh/solids.h"

namespace stillbox {

namespace {

// Off each wall by its rim, or nearer by less than `edge`.
bool is_in_opening(const Structure &s, const Eigen::Vector3d &x, const std::vector<double> &rims, double edge) {
  for (std::size_t i = 0; i < rims.size(); ++i)
    if (s.boards[i].coordinates_of(x).z() > edge - rims[i]) return false;
  return true;
}

}  // namespace

bool is_in_shape_room(const Structure &s, const Eigen::Vector3d &x, double beside, int but_wall) {
  for (std::size_t i = 0; i < s.boards.size(); ++i)
    if (s.boards[i].role == BoardRole::wall && int(i) != but_wall && s.boards[i].coordinates_of(x).z() > -beside)
      return false;
  return true;
}

int shape_brace_at(const Structure &s, const Eigen::Vector3d &x, double edge) {
  for (std::size_t i = 0; i < s.boards.size(); ++i) {
    const Board &board = s.boards[i];
    const Eigen::Vector3d p = board.coordinates_of(x);
    if (board.role != BoardRole::brace || p.z() < edge || p.z() > board.thickness() - edge) continue;
    bool is_hole = std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
      const Eigen::Vector2d off = (Eigen::Vector2d(p.x(), p.y()) - c.centre).cwiseAbs();
      return c.is_circle() ? off.norm() < c.width / 2 + edge
                           : off.x() < c.width / 2 + edge && off.y() < c.height / 2 + edge;
    });
    for (const BoxForm::Window &window : s.solids->box_form->windows)
      is_hole = is_hole || (window.board == int(i) && is_in_opening(s, x, window.rims, edge));
    if (!is_hole) return int(i);
  }
  return -1;
}

}  // namespace stillbox
