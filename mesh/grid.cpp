// SPDX-License-Identifier: MIT
#include "mesh/grid.h"

#include <algorithm>
#include <cmath>

#include "mesh/mitre.h"
#include "mesh/solids.h"

namespace stillbox {
namespace {

constexpr double same_line = 1e-6;  // m: two faces closer than this are one

void sort_and_merge(std::vector<double> &lines) {
  std::sort(lines.begin(), lines.end());
  std::vector<double> kept;
  for (double x : lines)
    if (kept.empty() || x - kept.back() > same_line) kept.push_back(x);
  lines = kept;
}

struct OverlapBox {
  Eigen::Vector3d low, high;
  int longest = 0;
};

OverlapBox overlap_box(const Board &a, const Board &b) {
  const auto [al, ah] = world_bounds(a);
  const auto [bl, bh] = world_bounds(b);
  OverlapBox box{al.cwiseMax(bl), ah.cwiseMin(bh), 0};
  (box.high - box.low).maxCoeff(&box.longest);
  return box;
}

// Within an opening of a board that the grid cuts, and that goes through its sheets too.
bool in_opening(const Structure &s, int b, const Eigen::Vector3d &point) {
  if (s.boards[b].attached_to >= 0) b = s.boards[b].attached_to;
  const Board &board = s.boards[b];
  const Eigen::Vector3d r = point - board.origin;
  const Eigen::Vector2d p(r.dot(board.u), r.dot(board.v));
  for (const CutOut &c : board.cut_outs)
    if (std::abs(p.x() - c.centre.x()) < c.width / 2 && std::abs(p.y() - c.centre.y()) < c.height / 2 &&
        cut_by_grid(s, b, c))
      return true;
  return false;
}

int layer_at(const Board &board, const Eigen::Vector3d &point) {
  double n = (point - board.origin).dot(board.normal());
  for (std::size_t l = 0; l < board.layers.size(); ++l) {
    n -= board.layers[l].thickness;
    if (n < 0) return int(l);
  }
  return int(board.layers.size()) - 1;
}

const Overlap *rule_between(const Structure &s, int a, int b) {
  for (const Overlap &o : s.overlaps)
    if ((o.first == a && o.second == b) || (o.first == b && o.second == a)) return &o;
  return nullptr;
}

// A cut-out goes through the sheets that lie over it; a patch may lie beside it.
bool lies_over(const Board &sheet, const Board &carrier, const CutOut &c) {
  const Eigen::Vector3d r = carrier.at(c.centre.x(), c.centre.y(), 0) - sheet.origin;
  const auto [low, high] = outline_bounds(sheet);
  const Eigen::Vector2d p(r.dot(sheet.u), r.dot(sheet.v));
  return (p.array() > low.array()).all() && (p.array() < high.array()).all();
}

bool lies_inside(const CabinetFrame &frame, const Board &board) {
  const auto [low, high] = world_bounds(board);
  const Eigen::Vector3d middle = (low + high) / 2;
  return (middle.array() > frame.inner_low.array()).all() && (middle.array() < frame.inner_high.array()).all();
}

// The owner of a block after one more board has laid claim to it.
Owner with_claim(const Structure &s, Owner owner, int other, const Eigen::Vector3d &centre) {
  if (owner.board < 0) return {other};
  const Overlap *rule = rule_between(s, owner.board, other);
  if (!rule)
    throw MeshError("boards \"" + s.boards[owner.board].name + "\" and \"" + s.boards[other].name +
                    "\" fill the same space and no joint or crossing says which one keeps it");
  switch (rule->sharing) {
    case Sharing::first_owns:
      owner = {rule->first};
      break;
    case Sharing::mitre:
      owner.mate = other;
      break;
    case Sharing::half_lap: {
      const OverlapBox box = overlap_box(s.boards[rule->first], s.boards[rule->second]);
      const double middle = (box.low[box.longest] + box.high[box.longest]) / 2;
      owner = {centre[box.longest] < middle ? rule->first : rule->second};
      break;
    }
  }
  return owner;
}

// Calls visit(block, centre) for the blocks whose centres lie within a box.
template <typename Visit>
void for_blocks_within(const Grid &grid, const Eigen::Vector3d &low, const Eigen::Vector3d &high, Visit visit) {
  std::array<int, 3> first{}, end{};
  const auto centre = [&](int axis, int i) { return (grid.lines[axis][i] + grid.lines[axis][i + 1]) / 2; };
  for (int a = 0; a < 3; ++a) {
    const int n = grid.blocks()[a];
    while (first[a] < n && centre(a, first[a]) <= low[a]) ++first[a];
    for (end[a] = first[a]; end[a] < n && centre(a, end[a]) < high[a];) ++end[a];
  }
  std::array<int, 3> block{};
  for (block[2] = first[2]; block[2] < end[2]; ++block[2])
    for (block[1] = first[1]; block[1] < end[1]; ++block[1])
      for (block[0] = first[0]; block[0] < end[0]; ++block[0])
        visit(block, Eigen::Vector3d(centre(0, block[0]), centre(1, block[1]), centre(2, block[2])));
}

// A line between cut-outs of one board that lie close together, so that each can have a rectangle of its own.
void add_web_lines(const Structure &s, Grid &grid) {
  constexpr double close = 0.15;  // m; wider webs hold element boundaries anyway
  for (std::size_t which = 0; which < s.boards.size(); ++which) {
    const Board &board = s.boards[which];
    if (!is_axis_aligned_box(board)) continue;
    for (std::size_t i = 0; i < board.cut_outs.size(); ++i)
      for (std::size_t j = 0; j < i; ++j) {
        const CutOut &p = board.cut_outs[i], &q = board.cut_outs[j];
        if (cut_by_grid(s, int(which), p) || cut_by_grid(s, int(which), q)) continue;
        const Eigen::Vector2d apart = (p.centre - q.centre).cwiseAbs();
        const double gaps[2] = {apart.x() - (p.width + q.width) / 2, apart.y() - (p.height + q.height) / 2};
        const int d = gaps[0] > gaps[1] ? 0 : 1;
        if (gaps[d] <= 0 || gaps[d] > close) continue;
        const double reach = (d == 0 ? p.width : p.height) / 2 + gaps[d] / 2;
        const double at = p.centre[d] + (q.centre[d] > p.centre[d] ? reach : -reach);
        const int axis = axis_of(d == 0 ? board.u : board.v);
        const double x = (d == 0 ? board.at(at, 0, 0) : board.at(0, at, 0))[axis];
        auto &lines = grid.lines[axis];
        if (std::any_of(lines.begin(), lines.end(), [&](double y) { return std::abs(x - y) < 0.3 * gaps[d]; }))
          continue;
        lines.push_back(x);
        std::sort(lines.begin(), lines.end());
      }
  }
}

bool carries_basket(const Structure &s, std::size_t board) {
  return std::any_of(s.rim_masses.begin(), s.rim_masses.end(),
                     [&](const RimMass &mass) { return mass.rigid_basket && mass.board == int(board); });
}

// Lines inside walls (near the inner face, and a second one where the rim of a rigid basket needs elements as well) and
// other boards (near both faces), so that the stress that gathers in the inner corners of joints finds small elements
// through the thickness too.
void add_inner_lines(const Structure &s, Grid &grid) {
  for (std::size_t which = 0; which < s.boards.size(); ++which) {
    const Board &board = s.boards[which];
    if (!is_axis_aligned_box(board) || board.role == BoardRole::sheet || board.layers.size() > 1) continue;
    const int axis = axis_of(board.normal());
    std::vector<double> shares{0.2};
    if (board.role != BoardRole::wall)
      shares = {0.25, 0.75};
    else if (carries_basket(s, which))
      shares = {0.2, 0.6};
    for (double share : shares) {
      const double x = board.at(0, 0, board.thickness() * share)[axis];
      auto &lines = grid.lines[axis];
      if (std::any_of(lines.begin(), lines.end(), [&](double y) { return std::abs(x - y) < 0.1 * board.thickness(); }))
        continue;
      lines.push_back(x);
      std::sort(lines.begin(), lines.end());
    }
  }
}

// Lines next to the faces of walls and braces, where the stress of a joint's inner corner is concentrated.
void add_relief_lines(const Structure &s, double relief, Grid &grid) {
  for (const Board &board : s.boards) {
    if (!is_axis_aligned_box(board) || board.role == BoardRole::sheet) continue;
    const auto [low, high] = world_bounds(board);
    const int axis = axis_of(board.normal());
    const double step = relief * board.thickness();
    auto &lines = grid.lines[axis];
    for (int side = 0; side < 2; ++side) {
      const double face = side == 0 ? low[axis] : high[axis], x = side == 0 ? face - step : face + step;
      if (x < lines.front() || x > lines.back()) continue;
      const auto near =
          std::find_if(lines.begin(), lines.end(), [&](double y) { return std::abs(x - y) < 0.9 * step; });
      // A line that is there anyway, such as a damping sheet's face, serves as well.
      const double end = near != lines.end() ? *near : x;
      if (near == lines.end()) {
        lines.push_back(x);
        std::sort(lines.begin(), lines.end());
      }
      grid.relief[axis].emplace_back(std::min(face, end), std::max(face, end));
    }
  }
}

}  // namespace

bool Grid::is_relief(int axis, int i) const {
  const double middle = (lines[axis][i] + lines[axis][i + 1]) / 2;
  return std::any_of(relief[axis].begin(), relief[axis].end(),
                     [&](const auto &strip) { return middle > strip.first && middle < strip.second; });
}

bool cut_by_grid(const Structure &s, int board, const CutOut &c) {
  if (!c.opening) return false;
  const Board &carrier = s.boards[board];
  const Eigen::Vector2d half(c.width / 2, c.height / 2);
  const Eigen::Vector3d p = carrier.at(c.centre.x() - half.x(), c.centre.y() - half.y(), 0),
                        q = carrier.at(c.centre.x() + half.x(), c.centre.y() + half.y(), carrier.thickness());
  const Eigen::Vector3d low = p.cwiseMin(q).array() - same_line, high = p.cwiseMax(q).array() + same_line;
  for (std::size_t other = 0; other < s.boards.size(); ++other) {
    const Board &b = s.boards[other];
    if (int(other) == board || b.attached_to == board || !is_axis_aligned_box(b)) continue;
    const auto [other_low, other_high] = world_bounds(b);
    if ((other_low.array() < high.array()).all() && (other_high.array() > low.array()).all()) return true;
  }
  return false;
}

int axis_of(const Eigen::Vector3d &direction) {
  int axis = 0;
  direction.cwiseAbs().maxCoeff(&axis);
  return axis;
}

Grid make_grid(const Structure &s, double relief, bool two_layers) {
  Grid grid;
  for (std::size_t which = 0; which < s.boards.size(); ++which) {
    const Board &board = s.boards[which];
    if (!is_axis_aligned_box(board)) continue;
    const auto [low, high] = world_bounds(board);
    for (int a = 0; a < 3; ++a) grid.lines[a].insert(grid.lines[a].end(), {low[a], high[a]});
    const int n_axis = axis_of(board.normal());
    double n = 0;
    for (const Layer &layer : board.layers) {
      n += layer.thickness;
      grid.lines[n_axis].push_back(board.at(0, 0, n)[n_axis]);
    }
    for (const CutOut &c : board.cut_outs) {
      if (!cut_by_grid(s, int(which), c)) continue;
      for (double side : {-0.5, 0.5}) {
        grid.lines[axis_of(board.u)].push_back(board.at(c.centre.x() + side * c.width, 0, 0)[axis_of(board.u)]);
        grid.lines[axis_of(board.v)].push_back(board.at(0, c.centre.y() + side * c.height, 0)[axis_of(board.v)]);
      }
    }
  }
  for (const Overlap &o : s.overlaps)
    if (o.sharing == Sharing::half_lap) {
      const OverlapBox box = overlap_box(s.boards[o.first], s.boards[o.second]);
      grid.lines[box.longest].push_back((box.low[box.longest] + box.high[box.longest]) / 2);
    }
  for (auto &lines : grid.lines) sort_and_merge(lines);
  if (grid.lines[0].size() < 2) return grid;
  const auto boxes = std::count_if(s.boards.begin(), s.boards.end(), is_axis_aligned_box);
  if (relief > 0 && boxes > 1) {
    if (two_layers) add_inner_lines(s, grid);
    add_relief_lines(s, relief, grid);
  }
  add_web_lines(s, grid);
  settle_owners(s, grid);
  return grid;
}

double part_of_first(const Structure &s, const Grid &grid, const std::array<int, 3> &block) {
  const Owner owner = grid.owner(block);
  if (owner.mate < 0) return 1;
  Eigen::Vector3d low, high;
  for (int a = 0; a < 3; ++a) {
    low[a] = grid.lines[a][block[a]];
    high[a] = grid.lines[a][block[a] + 1];
  }
  return mitre_part(s.boards[owner.board], s.boards[owner.mate], low, high);
}

void settle_owners(const Structure &s, Grid &grid) {
  const auto n = grid.blocks();
  grid.owners.assign(std::size_t(n[0]) * n[1] * n[2], Owner{});
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    if (!is_axis_aligned_box(s.boards[b])) continue;
    const auto [low, high] = world_bounds(s.boards[b]);
    for_blocks_within(grid, low, high, [&](const std::array<int, 3> &block, const Eigen::Vector3d &centre) {
      Owner &owner = grid.owners[grid.index(block)];
      if (in_opening(s, int(b), centre)) return;
      owner = with_claim(s, owner, int(b), centre);
      owner.layer = layer_at(s.boards[owner.board], centre);
      if (owner.mate >= 0) owner.mate_layer = layer_at(s.boards[owner.mate], centre);
    });
  }
}

namespace {

void add_fittings(const Structure &s, Volumes &v) {
  for (double m : v.board_mass) v.mass += m;
  for (const RimMass &m : s.rim_masses) v.mass += m.mass;
  for (const AreaMass &m : s.area_masses) v.mass += m.mass;
  for (const PointMass &m : s.point_masses) v.mass += m.mass;
}

// Solids were measured when the case was read.
Volumes volumes_of_solids(const Structure &s) {
  Volumes v;
  v.board = s.solids->board_volume;
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    v.board_mass.push_back(v.board[b] * s.materials[s.boards[b].layers[0].material].density);
  add_fittings(s, v);
  for (double volume : s.solids->chamber_volume) v.inner += volume;
  return v;
}

}  // namespace

Volumes volumes_of(const Structure &s) {
  if (s.solids) return volumes_of_solids(s);
  Volumes v;
  v.board.assign(s.boards.size(), 0);
  v.board_mass.assign(s.boards.size(), 0);
  const auto density = [&](int board, int layer) {
    return s.materials[s.boards[board].layers[layer].material].density;
  };
  const Grid grid = make_grid(s);
  if (!grid.owners.empty()) {
    const auto n = grid.blocks();
    for (int k = 0; k < n[2]; ++k)
      for (int j = 0; j < n[1]; ++j)
        for (int i = 0; i < n[0]; ++i) {
          const Owner o = grid.owner({i, j, k});
          if (o.board < 0) continue;
          const double volume = grid.volume({i, j, k});
          const double part = part_of_first(s, grid, {i, j, k});
          v.board[o.board] += part * volume;
          v.board_mass[o.board] += part * volume * density(o.board, o.layer);
          if (o.mate >= 0) {
            v.board[o.mate] += (1 - part) * volume;
            v.board_mass[o.mate] += (1 - part) * volume * density(o.mate, o.mate_layer);
          }
        }
  }
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    if (!is_axis_aligned_box(board))
      for (std::size_t l = 0; l < board.layers.size(); ++l) {
        v.board[b] += outline_area(board) * board.layers[l].thickness;
        v.board_mass[b] += outline_area(board) * board.layers[l].thickness * density(int(b), int(l));
      }
    for (const CutOut &c : board.cut_outs) {
      if (cut_by_grid(s, int(b), c)) continue;
      const auto take = [&](int of) {
        for (std::size_t l = 0; l < s.boards[of].layers.size(); ++l) {
          const double volume = cut_out_area(c) * s.boards[of].layers[l].thickness;
          v.board[of] -= volume;
          v.board_mass[of] -= volume * density(of, int(l));
        }
      };
      take(int(b));
      for (std::size_t sheet = 0; sheet < s.boards.size(); ++sheet)
        if (s.boards[sheet].attached_to == int(b) && lies_over(s.boards[sheet], board, c)) take(int(sheet));
    }
  }
  add_fittings(s, v);
  if (s.cabinet) {
    v.inner = (s.cabinet->inner_high - s.cabinet->inner_low).prod();
    for (std::size_t b = 0; b < s.boards.size(); ++b)
      if (s.boards[b].role == BoardRole::brace ||
          (s.boards[b].role == BoardRole::sheet && lies_inside(*s.cabinet, s.boards[b])))
        v.inner -= v.board[b];
  }
  return v;
}

}  // namespace stillbox
