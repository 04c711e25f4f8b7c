// SPDX-License-Identifier: MIT
#include <algorithm>

#include "mesh/case_build.h"

namespace stillbox {
namespace {

std::array<int, 6> read_order(const Reader &cabinet) {
  std::array<int, 6> rank{0, 1, 2, 3, 4, 5};
  if (!cabinet.has("run_through")) return rank;
  const auto names = cabinet.texts("run_through");
  if (names.size() != 6) {
    cabinet.refuse("run_through", "all six of baffle, back, left, right, top, bottom",
                   "name every wall once, the one that runs through everywhere first");
    return rank;
  }
  for (int i = 0; i < 6; ++i) rank[wall_index(names[i])] = i;
  return rank;
}

void read_joint(const Reader &r, WallJoints &joints, std::vector<std::pair<int, int>> &seen) {
  r.refuse_unknown_keys();
  const auto edge = r.texts("edge");
  const std::string kind = r.text("kind");
  if (edge.size() != 2 || wall_axis(wall_index(edge[0])) == wall_axis(wall_index(edge[1]))) {
    if (r.has("edge"))
      r.refuse("edge", "two walls that meet, such as [\"baffle\", \"left\"]",
               "opposite walls do not meet; name two neighbours");
    return;
  }
  const int a = wall_index(edge[0]), c = wall_index(edge[1]);
  const std::pair<int, int> pair(std::min(a, c), std::max(a, c));
  if (std::find(seen.begin(), seen.end(), pair) != seen.end())
    r.refuse("edge", "each edge once", "remove one of the joints of this edge");
  seen.push_back(pair);
  WallJoint joint = joints[a][c];
  joint.kind = kind;
  if (r.has("through")) {
    joint.through = wall_index(r.text("through"));
    if (kind == "mitre")
      r.refuse("through", "only with butt and rebate", "in a mitre neither wall runs through: remove it");
    if (joint.through != a && joint.through != c)
      r.refuse("through", edge[0] + ", " + edge[1], "name one of the two walls of the edge");
  }
  if (kind == "rebate") {
    if (r.has("rebate_depth"))
      joint.rebate_depth = r.length("rebate_depth");
    else
      r.refuse("rebate_depth", allowed_text(*find_key(r.groups, "rebate_depth")),
               "a rebate needs its depth: add this key");
  } else if (r.has("rebate_depth")) {
    r.refuse("rebate_depth", "only with kind = \"rebate\"", "remove it or make the joint a rebate");
  }
  joints[a][c] = joints[c][a] = joint;
}

std::vector<double> face_lines(const Structure &s, int axis) {
  std::vector<double> lines;
  for (const int w : s.cabinet->walls) {
    const auto [low, high] = world_bounds(s.boards[w]);
    lines.insert(lines.end(), {low[axis], high[axis]});
  }
  std::sort(lines.begin(), lines.end());
  std::vector<double> kept;
  for (const double x : lines)
    if (kept.empty() || x - kept.back() > 1e-7) kept.push_back(x);
  return kept;
}

/// True when exactly one of the walls that claim a block keeps it, or two or three share it in mitres.
bool is_settled(const Structure &s, const std::vector<int> &claims) {
  std::vector<int> left_over;
  for (const int a : claims) {
    const bool loses = std::any_of(s.overlaps.begin(), s.overlaps.end(), [&](const Overlap &o) {
      return o.sharing == Sharing::first_owns && o.second == a &&
             std::find(claims.begin(), claims.end(), o.first) != claims.end();
    });
    if (!loses) left_over.push_back(a);
  }
  return !left_over.empty();
}

}  // namespace

WallJoints read_joints(Build &b, const Reader &cabinet) {
  WallJoints joints;
  read_cleanly(b, [&] {
    const auto rank = read_order(cabinet);
    for (int w = 0; w < 6; ++w)
      for (int x = 0; x < 6; ++x) joints[w][x].through = rank[w] < rank[x] ? w : x;
    std::vector<std::pair<int, int>> seen;
    for (const Reader &r : cabinet.tables("joint", {"joint"}, 12)) read_joint(r, joints, seen);
  });
  return joints;
}

/// Every block of the shell must belong to a wall: three joints around a corner can form a ring in which each wall
/// gives way to the next one, and the corner belongs to nobody.
void check_corners(Build &b) {
  const Structure &s = b.structure;
  std::array<std::vector<double>, 3> lines;
  for (int a = 0; a < 3; ++a) lines[a] = face_lines(s, a);
  for (std::size_t i = 0; i + 1 < lines[0].size(); ++i)
    for (std::size_t j = 0; j + 1 < lines[1].size(); ++j)
      for (std::size_t k = 0; k + 1 < lines[2].size(); ++k) {
        const Eigen::Vector3d p((lines[0][i] + lines[0][i + 1]) / 2, (lines[1][j] + lines[1][j + 1]) / 2,
                                (lines[2][k] + lines[2][k + 1]) / 2);
        const CabinetFrame &frame = *s.cabinet;
        if ((p.array() > frame.inner_low.array()).all() && (p.array() < frame.inner_high.array()).all()) continue;
        std::vector<int> claims;
        for (const int w : frame.walls) {
          const auto [low, high] = world_bounds(s.boards[w]);
          if ((p.array() > low.array()).all() && (p.array() < high.array()).all()) claims.push_back(w);
        }
        if (is_settled(s, claims)) continue;
        std::string corner;
        const int walls[3] = {p.x() < frame.outer.x() / 2 ? left : right, p.y() < frame.outer.y() / 2 ? baffle : back,
                              p.z() < frame.outer.z() / 2 ? bottom : top};
        for (const int w : walls) corner += (corner.empty() ? "" : ", ") + std::string(wall_name[w]);
        const Node *cabinet = b.root.node->find("cabinet");
        const Reader r{b.root.problems, cabinet, "cabinet", {"cabinet"}};
        r.refuse_value("joint", "the corner of " + corner, "joints without a ring",
                       "each of the three walls gives way to the next one and nobody fills the corner; let one of them "
                       "run through at both of its edges");
        return;
      }
}

}  // namespace stillbox
