// SPDX-License-Identifier: MIT
#include <cmath>

#include "mesh/case_build.h"

namespace stillbox {

void read_feet(Build &b) {
  int count = 0;
  for (const Reader &r : b.root.tables("foot", {"foot"}, 100)) {
    Foot foot;
    std::vector<double> at;
    const bool clean = read_cleanly(b, [&] {
      r.refuse_unknown_keys();
      foot.name = r.has("name") ? r.text("name") : "foot " + std::to_string(count + 1);
      register_name(b, r, r.has("name") ? "name" : "on", foot.name);
      r.text("on");
      if (r.has("face")) r.text("face");
      at = r.lengths("at", 2, 2);
      const auto stiffness = r.numbers("stiffness_n_m", 3);
      foot.stiffness = {stiffness[0], stiffness[1], stiffness[2]};
      if (r.has("stiffness_n_m") && foot.stiffness.maxCoeff() <= 0)
        r.refuse("stiffness_n_m", "more than 0 in some direction", "a foot without stiffness holds nothing; remove it");
    });
    ++count;
    if (!clean || !b.values_ok) continue;
    FacePoint face = read_face(b, r, true, false);
    if (face.board < 0) continue;
    foot.at = to_board(b.info[face.board], at);
    Eigen::Vector2d same = foot.at;
    if (!settle_on_sheet(b, r, "at", face, foot.at, same)) continue;
    foot.board = face.board;
    foot.on_high_side = face.on_high_side;
    if (is_on_free_face(b, r, "at", face, foot.at, foot.at)) b.structure.feet.push_back(foot);
  }
}

void read_edge_supports(Build &b) {
  for (const Reader &r : b.root.tables("edge_support", {"edge_support"}, 100)) {
    EdgeSupport support;
    std::string edge;
    const bool clean = read_cleanly(b, [&] {
      r.refuse_unknown_keys();
      r.text("on");
      edge = r.text("edge");
      const std::string kind = r.text("kind");
      support.kind = kind == "clamped"                 ? EdgeKind::clamped
                     : kind == "simply supported soft" ? EdgeKind::simple_soft
                                                       : EdgeKind::simple_hard;
    });
    if (!clean || !b.values_ok) continue;
    support.board = find_board(b, r, "on");
    if (support.board < 0) continue;
    support.side = edge == "u low"    ? u_low
                   : edge == "u high" ? u_high
                   : edge == "v low"  ? v_low
                   : edge == "v high" ? v_high
                                      : -1;
    const Board &board = b.structure.boards[support.board];
    if (support.side >= 0 &&
        (board.disc_radius > 0 || board.outline.size() != 4 ||
         std::abs(outline_area(board) - (outline_bounds(board).second - outline_bounds(board).first).prod()) > 1e-9)) {
      r.refuse("edge", "all", "only a rectangular board has separate edges");
      continue;
    }
    b.structure.edge_supports.push_back(support);
  }
}

}  // namespace stillbox
