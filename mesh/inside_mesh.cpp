// SPDX-License-Identifier: MIT
#include "mesh/inside_mesh.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

#include "mesh/box_room.h"

namespace stillbox {
namespace {

constexpr double same_line = 1e-6;   // m
constexpr double least_gap = 0.002;  // m
constexpr double near_gap = 0.4;     // parts of the half width that lines of a mouth may be merged over
constexpr double near_field = 2.2;   // half widths of a mouth: elements end here once more
// Part of a hole's lesser half width: elements beside its edges, where the velocity is singular, end here.
constexpr double edge_share = 0.2;

// The rectangle of the same area, the longer side kept: full width and height.
Eigen::Vector2d equal_rectangle(double width, double height, double area, bool is_round) {
  if (is_round) return Eigen::Vector2d::Constant(std::sqrt(area));
  return width > height ? Eigen::Vector2d(area / height, height) : Eigen::Vector2d(width, area / width);
}

struct WorldBox {
  Eigen::Vector3d low, high;
  bool holds(const Eigen::Vector3d &x) const {
    return (x.array() > low.array()).all() && (x.array() < high.array()).all();
  }
};

WorldBox box_through(const Board &board, const CutOut &c, double n_low, double n_high) {
  const Eigen::Vector2d half = equal_rectangle(c.width, c.height, cut_out_area(c), c.is_circle()) / 2;
  const Eigen::Vector3d p = board.at(c.centre.x() - half.x(), c.centre.y() - half.y(), n_low),
                        q = board.at(c.centre.x() + half.x(), c.centre.y() + half.y(), n_high);
  return {p.cwiseMin(q), p.cwiseMax(q)};
}

struct Lines {
  struct Soft {
    double at, gap;  // left out when another line is nearer than the gap
  };
  std::array<std::vector<double>, 3> hard;
  std::array<std::vector<Soft>, 3> soft;  // the more important ones first

  void add_box(const WorldBox &box, int but_axis = -1) {
    for (int a = 0; a < 3; ++a)
      if (a != but_axis) hard[a].insert(hard[a].end(), {box.low[a], box.high[a]});
  }
};

struct Inside {
  const Structure &s;
  Grid grid;
  WorldBox room;
  std::vector<std::pair<int, WorldBox>> holes;    // of braces, and what walls' cut-outs take out of their sheets
  std::vector<std::pair<int, WorldBox>> unlined;  // in front of drivers and ports
  std::vector<Mouth> mouths;
  std::vector<std::vector<WorldBox>> linings;

  explicit Inside(const Structure &structure) : s(structure) {
    if (!s.cabinet) throw MeshError("there is no cabinet and so no air inside");
    grid = make_grid(s);
    room = {s.cabinet->inner_low, s.cabinet->inner_high};
    for (std::size_t b = 0; b < s.boards.size(); ++b) {
      const Board &board = s.boards[b];
      if (!is_axis_aligned_box(board)) {
        const auto [low, high] = world_bounds(board);
        if ((low.array() < room.high.array() - same_line).all() && (high.array() > room.low.array() + same_line).all())
          throw MeshError("board \"" + board.name +
                          "\" lies inside and is slanted or round: the air around it cannot be meshed yet");
        continue;
      }
      if (board.role == BoardRole::sheet) continue;
      const double reach = board.role == BoardRole::wall ? 0.1 : 0.05;  // through sheets, not through other boards
      for (const CutOut &c : board.cut_outs)
        if (!cut_by_grid(s, int(b), c))
          holes.emplace_back(int(b), box_through(board, c, -reach, board.thickness() + reach));
    }
    mouths = mouths_of(s);
    for (const Lining &lining : s.linings) linings.push_back(boxes_of(lining));
    for (const Mouth &m : mouths)
      if (m.has_driver || m.port >= 0)
        unlined.emplace_back(m.board, box_through(s.boards[m.board], s.boards[m.board].cut_outs[m.cut_out], -10, 10));
  }

  std::vector<WorldBox> boxes_of(const Lining &lining) const {
    if (lining.walls.empty()) return {{lining.low, lining.high}};
    std::vector<WorldBox> boxes;
    for (int b : lining.walls) {
      const int axis = axis_of(s.boards[b].normal());
      WorldBox box = room;
      if (s.boards[b].normal()[axis] < 0)
        box.high[axis] = box.low[axis] + lining.thickness;
      else
        box.low[axis] = box.high[axis] - lining.thickness;
      boxes.push_back(box);
    }
    return boxes;
  }

  int owner_at(const Eigen::Vector3d &x) const {
    std::array<int, 3> block{};
    for (int a = 0; a < 3; ++a)
      block[a] = int(std::upper_bound(grid.lines[a].begin(), grid.lines[a].end(), x[a]) - grid.lines[a].begin()) - 1;
    return grid.owner(block).board;
  }

  bool is_air(const Eigen::Vector3d &x) const {
    if (!room.holds(x)) return false;
    const int owner = owner_at(x);
    if (owner < 0) return true;
    const int carrier = s.boards[owner].attached_to >= 0 ? s.boards[owner].attached_to : owner;
    return std::any_of(holes.begin(), holes.end(),
                       [&](const auto &hole) { return hole.first == carrier && hole.second.holds(x); });
  }

  // A lining on the wall of a driver or port is left out in front of it.
  bool is_unlined(const Lining &lining, const Eigen::Vector3d &x) const {
    return std::any_of(unlined.begin(), unlined.end(), [&](const auto &mouth) {
      return mouth.second.holds(x) &&
             std::find(lining.walls.begin(), lining.walls.end(), mouth.first) != lining.walls.end();
    });
  }

  int region_at(const Eigen::Vector3d &x) const {
    for (std::size_t l = 0; l < linings.size(); ++l)
      for (const WorldBox &box : linings[l])
        if (box.holds(x) && !is_unlined(s.linings[l], x)) return int(l);
    return -1;
  }

  // Lines of the boards' grid with air on one side and wood on the other.
  void add_board_lines(Lines &lines) const {
    const auto n = grid.blocks();
    for (int a = 0; a < 3; ++a)
      for (int line = 1; line < n[a]; ++line) {
        bool divides = false;
        const int p = (a + 1) % 3, q = (a + 2) % 3;
        std::array<int, 3> low{}, high{};
        for (low[p] = 0; low[p] < n[p] && !divides; ++low[p])
          for (low[q] = 0; low[q] < n[q] && !divides; ++low[q]) {
            low[a] = line - 1;
            high = low;
            high[a] = line;
            divides = (grid.owner(low).board < 0) != (grid.owner(high).board < 0);
          }
        if (divides) lines.hard[a].push_back(grid.lines[a][line]);
      }
  }

  void add_hole_lines(Lines &lines) const {
    for (std::size_t b = 0; b < s.boards.size(); ++b) {
      const Board &board = s.boards[b];
      if (!is_axis_aligned_box(board) || board.role == BoardRole::sheet || board.role == BoardRole::wall) continue;
      const int axis = axis_of(board.normal());
      for (std::size_t c = 0; c < board.cut_outs.size(); ++c) {
        const WorldBox box = box_through(board, board.cut_outs[c], 0, board.thickness());
        if (!cut_by_grid(s, int(b), board.cut_outs[c])) lines.add_box(box, axis);
        double least = 1e300;
        for (int a = 0; a < 3; ++a)
          if (a != axis) least = std::min(least, (box.high[a] - box.low[a]) / 2);
        const double step = edge_share * least;
        for (int a = 0; a < 3; ++a) {
          for (double x : {box.low[a] - step, box.high[a] + step}) lines.soft[a].push_back({x, step / 2});
          if (a == axis) continue;
          for (double x : {box.low[a] + step, box.high[a] - step}) lines.soft[a].push_back({x, step / 2});
        }
      }
    }
  }

  void add_mouth_lines(Lines &lines) const {
    for (const Mouth &m : mouths) {
      if (!m.has_driver && m.port < 0) continue;
      const Eigen::Vector2d half = equal_rectangle(m.width, m.height, m.area, m.is_round) / 2;
      const int axis = axis_of(m.outwards);
      for (int a = 0; a < 3; ++a) {
        if (a == axis) continue;
        const double reach = std::abs(m.u[a]) > 0.5 ? half.x() : half.y();
        for (double part : {-1.0, 1.0, -near_field, near_field})
          lines.soft[a].push_back({m.centre[a] + part * reach, near_gap * reach});
      }
      const double depth = std::min(half.x(), half.y());
      for (double part : {0.0, -1.0, 1.0, -near_field, near_field})
        lines.soft[axis].push_back({m.centre[axis] + part * depth, part == 0 ? least_gap : near_gap * depth});
    }
  }

  std::vector<double> settled(int axis, const Lines &lines) const {
    std::vector<double> kept;
    const auto near = [&](double x, double gap) {
      return std::any_of(kept.begin(), kept.end(), [&](double y) { return std::abs(x - y) < gap; });
    };
    const auto inside = [&](double x) { return x > room.low[axis] - same_line && x < room.high[axis] + same_line; };
    kept = {room.low[axis], room.high[axis]};
    for (double x : lines.hard[axis])
      if (inside(x) && !near(x, same_line)) kept.push_back(x);
    for (const Lines::Soft &line : lines.soft[axis])
      if (inside(line.at) && !near(line.at, line.gap)) kept.push_back(line.at);
    std::sort(kept.begin(), kept.end());
    return kept;
  }
};

std::vector<double> divided(const std::vector<double> &lines, double size) {
  std::vector<double> ticks{lines.front()};
  for (std::size_t i = 0; i + 1 < lines.size(); ++i) {
    const double extent = lines[i + 1] - lines[i];
    const int n = std::max(1, int(std::ceil(extent / size - 1e-6)));
    for (int k = 1; k <= n; ++k) ticks.push_back(lines[i] + extent * k / n);
  }
  return ticks;
}

}  // namespace

namespace {

InsideMesh mesh_box(const Structure &s, const InsideMeshOptions &options) {
  const Inside inside(s);
  Lines lines;
  inside.add_board_lines(lines);
  inside.add_hole_lines(lines);
  inside.add_mouth_lines(lines);
  for (const auto &boxes : inside.linings)
    for (const WorldBox &box : boxes) lines.add_box(box);
  std::array<std::vector<double>, 3> ticks;
  for (int a = 0; a < 3; ++a) ticks[a] = divided(inside.settled(a, lines), options.size);

  InsideMesh result;
  result.frame = *s.cabinet;
  std::map<std::array<int, 3>, int> node_at;
  const auto node = [&](const std::array<int, 3> &at) {
    const auto [found, is_new] = node_at.emplace(at, int(result.mesh.nodes.size()));
    if (is_new) result.mesh.nodes.emplace_back(ticks[0][at[0]], ticks[1][at[1]], ticks[2][at[2]]);
    return found->second;
  };
  for (int k = 0; k + 1 < int(ticks[2].size()); ++k)
    for (int j = 0; j + 1 < int(ticks[1].size()); ++j)
      for (int i = 0; i + 1 < int(ticks[0].size()); ++i) {
        const Eigen::Vector3d centre((ticks[0][i] + ticks[0][i + 1]) / 2, (ticks[1][j] + ticks[1][j + 1]) / 2,
                                     (ticks[2][k] + ticks[2][k + 1]) / 2);
        if (!inside.is_air(centre)) continue;
        HexCell cell;
        for (int corner = 0; corner < 8; ++corner)
          cell.nodes[corner] = node({i + (corner & 1), j + ((corner >> 1) & 1), k + (corner >> 2)});
        result.mesh.cells.push_back(cell);
        result.region.push_back(inside.region_at(centre));
      }
  if (result.mesh.cells.empty()) throw MeshError("there is no air inside the cabinet");
  return result;
}

}  // namespace

Eigen::Vector2d equal_rectangle(const CutOut &c) {
  return equal_rectangle(c.width, c.height, cut_out_area(c), c.is_circle());
}

bool has_inside_mesh(const Structure &s) {
  if (!s.solids) return s.cabinet.has_value();
  std::string why;
  auto boxed = boxed_shape(s, why);
  if (!boxed) return false;
  try {
    make_room_map(std::make_shared<const BoxedShape>(std::move(*boxed)));
  } catch (const MeshError &) {
    return false;
  }
  return true;
}

InsideMesh make_inside_mesh(const Structure &s, const InsideMeshOptions &options) {
  if (!s.solids) return mesh_box(s, options);
  std::string why;
  auto boxed = boxed_shape(s, why);
  if (!boxed) throw MeshError("the air inside is not meshed, because " + why);
  const auto kept = std::make_shared<const BoxedShape>(std::move(*boxed));
  InsideMesh result = mesh_box(kept->box, options);
  result.place = make_room_map(kept);
  return result;
}

std::vector<Mouth> mouths_of(const Structure &s) {
  std::vector<Mouth> list;
  if (!s.cabinet && !s.solids) return list;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    if (board.role != BoardRole::wall) continue;
    for (std::size_t i = 0; i < board.cut_outs.size(); ++i) {
      const CutOut &c = board.cut_outs[i];
      Mouth m;
      m.name = c.name;
      m.board = int(b);
      m.cut_out = int(i);
      for (const RimMass &driver : s.rim_masses)
        m.has_driver = m.has_driver || (driver.board == int(b) && driver.cut_out == int(i));
      m.u = board.u;
      m.v = board.v;
      m.outwards = board.normal();
      m.is_round = c.is_circle();
      m.width = c.width;
      m.height = c.height;
      m.area = cut_out_area(c);
      double depth = 0;  // of the mouth below the wall's inner face
      for (std::size_t p = 0; p < s.ports.size(); ++p) {
        if (s.ports[p].board != int(b) || s.ports[p].cut_out != int(i)) continue;
        m.port = int(p);
        const double scale = std::sqrt(s.ports[p].area / m.area);
        m.width *= scale;
        m.height *= scale;
        m.area = s.ports[p].area;
        depth = s.ports[p].length - board.thickness();
      }
      m.centre = board.at(c.centre.x(), c.centre.y(), -depth);
      list.push_back(m);
    }
  }
  return list;
}

}  // namespace stillbox
