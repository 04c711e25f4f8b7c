// SPDX-License-Identifier: MIT
#include "postprocess/solids_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "postprocess/drawing_parts.h"
#include "postprocess/svg.h"
#include "postprocess/text.h"
#include "postprocess/view_parts.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;

// The surface of each board in small triangles; a vertex is a corner or the middle of an edge.
struct BoardSurfaces {
  std::vector<Vector3> points;
  std::vector<std::vector<std::array<int, 3>>> triangles;  // by board
};

BoardSurfaces surfaces_of(const Structure &s, const ModalField &field) {
  const FaceMiddles add_middles(field);
  const bool tetrahedra = add_middles.is_tetrahedral();
  struct Found {
    int times = 0, cell = 0, face = 0;
  };
  std::map<std::pair<int, std::vector<int>>, Found> faces;  // by board and corners
  for (int cell = 0; cell < int(field.cells.size()); ++cell)
    for (int f = 0; f < (tetrahedra ? 4 : 6); ++f) {
      std::vector<int> corners = skin_corners(field.cells[std::size_t(cell)], tetrahedra, field.degree, f);
      std::sort(corners.begin(), corners.end());
      Found &found = faces[{field.cell_board[std::size_t(cell)], corners}];
      found = {found.times + 1, cell, f};
    }
  BoardSurfaces out;
  out.triangles.resize(s.boards.size());
  std::map<Edge, int> number;  // a corner twice, or both ends
  std::map<Edge, NodeSum> middles;
  const auto vertex = [&](int a, int b) {
    const auto [it, fresh] = number.emplace(edge_of(a, b), int(out.points.size()));
    if (fresh)
      out.points.push_back(a == b ? Vector3(field.points.row(a).transpose())
                                  : sum_of(middles.at(edge_of(a, b)), field.points));
    return it->second;
  };
  for (const auto &[key, entry] : faces) {
    if (entry.times != 1) continue;
    add_middles.add(entry.cell, entry.face, middles);
    for (const auto &[a, b, c] : face_triangles(field, entry.cell, entry.face)) {
      const int p = vertex(a, a), q = vertex(b, b), r = vertex(c, c), pq = vertex(a, b), qr = vertex(b, c),
                rp = vertex(c, a);
      for (const auto &t : {std::array<int, 3>{p, pq, rp}, {pq, q, qr}, {rp, qr, r}, {pq, qr, rp}})
        out.triangles[std::size_t(key.first)].push_back(t);
    }
  }
  return out;
}

using Loop = std::vector<Vector3>;

// Segments, each between two named points, joined to loops.
template <class Key>
std::vector<Loop> loops_of(const std::vector<std::pair<Key, Key>> &segments, const std::map<Key, Vector3> &places) {
  std::map<Key, std::vector<std::size_t>> at;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    at[segments[i].first].push_back(i);
    at[segments[i].second].push_back(i);
  }
  std::vector<char> used(segments.size(), 0);
  std::vector<Loop> loops;
  for (std::size_t start = 0; start < segments.size(); ++start) {
    if (used[start]) continue;
    Loop loop;
    Key here = segments[start].first;
    for (std::size_t next = start; next < segments.size();) {
      used[next] = 1;
      loop.push_back(places.at(here));
      here = segments[next].first == here ? segments[next].second : segments[next].first;
      const std::size_t from = next;
      next = segments.size();
      for (const std::size_t i : at.at(here))
        if (!used[i] && i != from) {
          next = i;
          break;
        }
    }
    loops.push_back(loop);
  }
  return loops;
}

std::string path(const Drawn &d, const std::vector<Loop> &loops, const std::string &style) {
  std::string data;
  for (const Loop &loop : loops) {
    for (std::size_t i = 0; i < loop.size(); ++i)
      data += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : "L", d.x(loop[i][d.across]), d.y(loop[i][d.up]));
    data += "z";
  }
  return data.empty() ? "" : "<path d=\"" + data + "\" fill-rule=\"evenodd\" class=\"" + style + "\"/>\n";
}

// What a plane square to an axis cuts of a board.
std::vector<Loop> cut(const BoardSurfaces &surfaces, std::size_t board, int axis, double at) {
  std::vector<std::pair<Edge, Edge>> segments;
  std::map<Edge, Vector3> places;
  for (const auto &t : surfaces.triangles[board]) {
    std::vector<Edge> ends;
    for (std::size_t k = 0; k < 3; ++k) {
      const Edge edge = edge_of(t[k], t[(k + 1) % 3]);
      const Vector3 &a = surfaces.points[std::size_t(edge.first)], &b = surfaces.points[std::size_t(edge.second)];
      const double da = a[axis] - at, db = b[axis] - at;
      if ((da > 0) == (db > 0)) continue;
      places.emplace(edge, a + da / (da - db) * (b - a));
      ends.push_back(edge);
    }
    if (ends.size() == 2) segments.emplace_back(ends[0], ends[1]);
  }
  return loops_of(segments, places);
}

std::string section(const Structure &s, const BoardSurfaces &surfaces, const Drawn &d, int axis, double at) {
  std::string out;
  for (const BoardRole role : {BoardRole::brace, BoardRole::wall})
    for (std::size_t b = 0; b < s.boards.size(); ++b)
      if (s.boards[b].role == role) out += path(d, cut(surfaces, b, axis, at), style_of(s.boards[b]));
  return out;
}

struct Bounds {
  Vector3 low = Vector3::Constant(1e300), high = Vector3::Constant(-1e300);
  void take(const Vector3 &x) {
    low = low.cwiseMin(x);
    high = high.cwiseMax(x);
  }
};

Bounds bounds_of(const BoardSurfaces &surfaces, std::size_t board) {
  Bounds bounds;
  for (const auto &t : surfaces.triangles[board])
    for (const int p : t) bounds.take(surfaces.points[std::size_t(p)]);
  return bounds;
}

// The side of a cut-out is not drawn: through the hole one sees it only at an angle.
bool is_in_cut_out(const Board &board, const Vector3 &x) {
  const Vector3 p = board.coordinates_of(x);
  if (p.z() > board.thickness() - 1e-6) return false;
  return std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
    return std::abs(p.x() - c.centre.x()) < c.width / 2 + 1e-6 && std::abs(p.y() - c.centre.y()) < c.height / 2 + 1e-6;
  });
}

// The walls' faces that look forwards, board by board, the nearest last.
std::string front(const Structure &s, const ModalField &field, const BoardSurfaces &surfaces, const Drawn &d) {
  constexpr double forwards = -0.05;
  const SolidView view(s, field);
  std::map<int, std::map<Edge, int>> edges;  // of each board: how often
  std::map<int, std::pair<double, int>> depth;
  std::map<int, Vector3> places;
  for (const SolidFace &f : view.faces) {
    const Board &board = s.boards[std::size_t(f.board)];
    if (board.role != BoardRole::wall || f.normal.y() > forwards) continue;
    Vector3 middle = Vector3::Zero();
    for (const int node : f.corners) middle += field.points.row(node).transpose() / 3;
    if (is_in_cut_out(board, middle)) continue;
    for (std::size_t k = 0; k < 3; ++k) {
      const int a = f.corners[k], b = f.corners[(k + 1) % 3];
      ++edges[f.board][edge_of(a, b)];
      places[a] = field.points.row(a);
      depth[f.board].first += places[a].y();
      ++depth[f.board].second;
    }
  }
  std::vector<std::pair<double, int>> order;
  for (const auto &[board, sum] : depth) order.emplace_back(-sum.first / sum.second, board);
  std::sort(order.begin(), order.end());
  std::string out, names;
  for (const auto &[negative, board] : order) {
    std::vector<std::pair<int, int>> segments;
    std::map<int, Vector3> ends = places;
    int next = int(field.points.rows());
    for (const auto &[edge, times] : edges.at(board)) {
      if (times != 1) continue;
      // By way of the middle, on the round edge.
      ends[next] = sum_of(view.middle(edge), field.points);
      segments.emplace_back(edge.first, next);
      segments.emplace_back(next, edge.second);
      ++next;
    }
    out += path(d, loops_of(segments, ends), "face");
    for (const CutOut &cut : s.boards[std::size_t(board)].cut_outs) {
      const Board &own = s.boards[std::size_t(board)];
      if (own.normal().y() > -0.5) continue;
      const Vector3 middle = own.at(cut.centre.x(), cut.centre.y(), own.thickness());
      const double room = d.scale * std::max(cut.width, 0.06);
      names += svg_text(d.x(middle.x()), d.y(middle.z()) + 4, "in", "middle",
                        shorten(clean_text(cut.name), std::max<std::size_t>(2, std::size_t(room / 7.2))));
    }
  }
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    if (s.boards[b].role != BoardRole::brace) continue;
    const Bounds own = bounds_of(surfaces, b);
    out += drawn_rectangle(d, {own.low.x(), own.high.x(), own.low.z(), own.high.z()}, "hidden");
  }
  return out + names;
}

}  // namespace

std::string solids_drawing(const Structure &s, const ModalField &field) {
  const bool any_wall =
      std::any_of(s.boards.begin(), s.boards.end(), [](const Board &b) { return b.role == BoardRole::wall; });
  if (!any_wall || !s.solids) return "";
  const BoardSurfaces surfaces = surfaces_of(s, field);
  Bounds all;
  for (const Vector3 &x : surfaces.points) all.take(x);
  double level = -1;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    if (s.boards[b].role != BoardRole::brace || std::abs(s.boards[b].normal().z()) < 0.9) continue;
    const Bounds own = bounds_of(surfaces, b);
    const double middle = (own.low.z() + own.high.z()) / 2;
    if (level < 0 || middle < level) level = middle;
  }
  if (level < 0) level = (all.low.z() + all.high.z()) / 2;
  constexpr double beside = 1.37e-6;  // m: off the planes where nodes lie
  return three_views(s, all.high - all.low, level - all.low.z(), [&](int view, Drawn d) {
    d.left -= d.scale * all.low[d.across];
    d.bottom += d.scale * all.low[d.up];
    if (view == 0) return front(s, field, surfaces, d);
    return view == 1 ? section(s, surfaces, d, 0, (all.low.x() + all.high.x()) / 2 + beside)
                     : section(s, surfaces, d, 2, level + beside);
  });
}

}  // namespace stillbox
