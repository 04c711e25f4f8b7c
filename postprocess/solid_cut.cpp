// SPDX-License-Identifier: MIT
#include "postprocess/solid_cut.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "mesh/case_file.h"
#include "mesh/solids.h"

namespace stillbox {
namespace {

using Vector2 = Eigen::Vector2d;
using Vector3 = Eigen::Vector3d;

constexpr double close = same_cut_place;
constexpr double same = 1e-6;        // of directions
constexpr double square_deg = 0.05;  // below this a saw is not tilted

double mm(double metres) { return std::round(1e4 * metres) / 10; }
double degrees(double rad) { return rad * 180 / M_PI; }

// Which of a flat board's faces are its two large ones.
struct LargeFaces {
  int low = -1, high = -1;
  std::string why_not;
};

LargeFaces large_faces(const Board &board, const BoardFaces &faces) {
  LargeFaces found;
  if (faces.pieces > 1) found.why_not = "it is in several pieces";
  for (std::size_t f = 0; f < faces.faces.size(); ++f) {
    const PartFace &face = faces.faces[f];
    if (face.kind == PartFace::Kind::other) found.why_not = "it has a face that is neither flat nor part of a cylinder";
    if (face.kind != PartFace::Kind::flat || std::abs(face.normal.dot(board.normal())) < 1 - same) continue;
    const double level = board.coordinates_of(face.loops[0][0].from).z();
    int &place = std::abs(level) < close ? found.low : found.high;
    if (std::abs(level) > close && std::abs(level - board.thickness()) > close)
      found.why_not = "it has a step, a rebate or a pocket";
    else if (place >= 0)
      found.why_not = "one of its faces is in several parts";
    place = int(f);
  }
  if (found.why_not.empty() && (found.low < 0 || found.high < 0)) found.why_not = "it has no two parallel faces";
  return found;
}

bool is_cut_out(const Board &board, const std::vector<CutLine> &loop) {
  Vector2 low = loop[0].from, high = low;
  for (const CutLine &l : loop)
    for (const Vector2 &x : {l.from, l.middle}) {
      low = low.cwiseMin(x);
      high = high.cwiseMax(x);
    }
  return std::any_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) {
    return ((low + high) / 2 - c.centre).norm() < 0.5 * std::min(c.width, c.height);
  });
}

// A board as something that may lie behind another one's edge.
struct Wood {
  const Board *board = nullptr;
  std::vector<Vector2> polygon;  // flat boards: as seen square to them
  bool holds(const Vector3 &x) const {
    const Vector3 p = board->coordinates_of(x);
    if (p.z() < -close || p.z() > board->thickness() + close) return false;
    if (board->bend) {
      const auto [low, high] = outline_bounds(*board);
      return p.x() > low.x() - close && p.x() < high.x() + close && p.y() > low.y() && p.y() < high.y();
    }
    return is_inside(polygon, p.head<2>());
  }
};

struct Sorter {
  const Structure &s;
  const std::vector<BoardFaces> &faces;
  std::vector<LargeFaces> large;
  std::vector<Wood> wood;
  std::vector<SolidCut> cuts;

  int behind(int own, const Vector3 &x) const {
    for (std::size_t b = 0; b < wood.size(); ++b)
      if (int(b) != own && wood[b].holds(x)) return int(b);
    return -1;
  }

  void outline(std::size_t b) {
    const Board &board = s.boards[b];
    SolidCut &cut = cuts[b];
    std::vector<CutLine> both[2];
    std::vector<Vector2> all;
    for (int side = 0; side < 2; ++side) {
      const PartFace &face = faces[b].faces[std::size_t(side == 0 ? large[b].low : large[b].high)];
      both[side] = flat_loop(board, face.loops[0]);
      const auto points = points_of(both[side]);
      all.insert(all.end(), points.begin(), points.end());
      if (side == 0) continue;
      for (std::size_t l = 1; l < face.loops.size(); ++l) {
        const std::vector<CutLine> hole = flat_loop(board, face.loops[l]);
        if (!is_cut_out(board, hole)) cut.openings.insert(cut.openings.end(), hole.begin(), hole.end());
      }
    }
    // A chamfer leaves corners between the two faces.
    for (const PartFace &face : faces[b].faces) {
      if (face.kind != PartFace::Kind::flat) continue;
      for (const SolidEdge &edge : face.loops[0]) all.push_back(flat_line(board, edge).from);
    }
    cut.low = cut.high = all.front();
    for (const Vector2 &p : all) {
      cut.low = cut.low.cwiseMin(p);
      cut.high = cut.high.cwiseMax(p);
    }
    const bool straight = std::all_of(both[1].begin(), both[1].end(), [](const CutLine &l) { return l.is_straight; });
    if (straight && is_convex(points_of(both[0])) && is_convex(points_of(both[1]))) {
      // Seen square to it a convex board is the hull of its corners.
      const std::vector<Vector2> hull = hull_of(all);
      for (std::size_t i = 0; i < hull.size(); ++i) {
        const Vector2 &from = hull[i], &to = hull[(i + 1) % hull.size()];
        cut.outline.push_back({from, (from + to) / 2, to, true});
      }
      for (const auto &loop : both)
        for (const CutLine &l : loop) {
          const bool on_hull = std::any_of(cut.outline.begin(), cut.outline.end(), [&](const CutLine &h) {
            const double length = (h.to - h.from).norm();
            return std::abs(turn(h.from, h.to, l.from)) < 1e-7 * length &&
                   std::abs(turn(h.from, h.to, l.to)) < 1e-7 * length;
          });
          if (!on_hull) cut.other_edges.push_back(l);
        }
      wood[b].polygon = hull;
    } else {
      cut.outline = both[1];
      for (const CutLine &l : both[0])
        if (std::none_of(both[1].begin(), both[1].end(), [&](const CutLine &h) {
              return (h.middle - l.middle).norm() < close && (h.from - l.from).norm() < close;
            }))
          cut.other_edges.push_back(l);
      wood[b].polygon = points_of(both[1]);
    }
  }

  void edges(std::size_t b) {
    const Board &board = s.boards[b];
    const Vector3 normal = board.normal();
    std::map<int, std::vector<int>> faces_at;  // by curve
    for (std::size_t f = 0; f < faces[b].faces.size(); ++f)
      for (const auto &loop : faces[b].faces[f].loops)
        for (const SolidEdge &edge : loop) faces_at[edge.curve].push_back(int(f));
    std::map<int, std::array<const SolidEdge *, 2>> at_face;  // of side faces: edges on the low and the high face
    for (int side = 0; side < 2; ++side) {
      const int own = side == 0 ? large[b].low : large[b].high;
      for (const SolidEdge &edge : faces[b].faces[std::size_t(own)].loops[0])
        for (const int other : faces_at.at(edge.curve))
          if (other != own) at_face[other][std::size_t(side)] = &edge;
    }
    std::map<int, int> number;
    for (const auto &[f, ends] : at_face) {
      const PartFace &face = faces[b].faces[std::size_t(f)];
      const SolidEdge &any = ends[1] ? *ends[1] : *ends[0];
      const CutLine line = flat_line(board, any);
      EdgeCut cut;
      double low = 1e300, high = -1e300;
      for (const SolidEdge &edge : face.loops[0])
        for (const Vector3 &x : {edge.from, edge.middle}) {
          low = std::min(low, board.coordinates_of(x).z());
          high = std::max(high, board.coordinates_of(x).z());
        }
      cut.depth = high - low;
      Vector3 out = Vector3::Zero();
      if (face.kind == PartFace::Kind::flat) {
        const Vector3 along = (any.to - any.from).normalized();
        Vector3 across = along.cross(normal);
        const Vector2 beside = line.middle + 1e-5 * Vector2(across.dot(board.u), across.dot(board.v));
        if (is_inside(points_of(flat_loop(
                          board, faces[b].faces[std::size_t(ends[1] ? large[b].high : large[b].low)].loops[0])),
                      beside))
          across = -across;
        out = face.normal.dot(across) < 0 ? Vector3(-face.normal) : face.normal;
        cut.angle = std::atan2(std::abs(out.dot(normal)), out.dot(across));
        cut.outer_is_longer = out.dot(normal) < 0;
      }
      if (degrees(cut.angle) < square_deg) cut.angle = 0;
      const SolidEdge *longer = ends[cut.outer_is_longer ? 1 : 0];
      const SolidEdge &shown = longer ? *longer : any;
      cut.line = flat_line(board, shown);
      cut.length = shown.is_straight ? (shown.to - shown.from).norm() : face.area / cut.depth;
      Vector3 middle = Vector3::Zero();
      for (const SolidEdge &edge : face.loops[0]) middle += edge.middle / double(face.loops[0].size());
      const int with = behind(int(b), middle + 5e-4 * out);
      if (with >= 0 && !out.isZero()) {
        cut.with = s.boards[std::size_t(with)].name;
        const Board &other = s.boards[std::size_t(with)];
        const Vector3 p = other.coordinates_of(middle);
        if (!other.bend && board.role != BoardRole::wall && std::abs(p.z()) < close)
          cuts[std::size_t(with)].marks.emplace_back(board.name, flat_loop(other, face.loops[0]));
      }
      number[f] = int(cuts[b].edges.size());
      cuts[b].edges.push_back(cut);
    }
    // Where two faces share the thickness, the more tilted one is the chamfer.
    for (const auto &[curve, two] : faces_at) {
      if (two.size() != 2 || !number.count(two[0]) || !number.count(two[1])) continue;
      EdgeCut &first = cuts[b].edges[std::size_t(number[two[0]])], &second = cuts[b].edges[std::size_t(number[two[1]])];
      const double whole = board.thickness() - close;
      if (first.depth > whole || second.depth > whole) continue;
      (first.angle > second.angle ? first : second).is_chamfer = true;
    }
  }

  void bent(std::size_t b) {
    const Board &board = s.boards[b];
    SolidCut &cut = cuts[b];
    std::tie(cut.low, cut.high) = outline_bounds(board);
    const double height = cut.high.y() - cut.low.y();
    SolidCut::Bent bent;
    bent.radius = board.bend->radius;
    std::vector<double> lengths;
    for (const PartFace &face : faces[b].faces)
      if (face.kind == PartFace::Kind::round) lengths.push_back(face.area / height);
    std::sort(lengths.rbegin(), lengths.rend());
    // A whole cylinder may come in three parts: each third of the outer face is longer than one of the inner.
    const std::size_t half = lengths.size() / 2;
    double longer = 0, shorter = 0;
    for (std::size_t i = 0; i < lengths.size(); ++i) (i < half ? longer : shorter) += lengths[i];
    bent.outer = board.bend->hollow ? shorter : longer;
    bent.inner = board.bend->hollow ? longer : shorter;
    bent.middle = (bent.outer + bent.inner) / 2;
    bent.is_tube = bent.outer > (2 * M_PI - 1e-6) * bent.radius;
    cut.high.x() = cut.low.x() + std::max(bent.outer, bent.inner);
    cut.bent = bent;
    const Vector2 corners[4] = {cut.low, {cut.high.x(), cut.low.y()}, cut.high, {cut.low.x(), cut.high.y()}};
    for (int k = 0; k < 4; ++k) {
      const Vector2 &from = corners[k], &to = corners[(k + 1) % 4];
      cut.outline.push_back({from, (from + to) / 2, to, true});
    }
    if (bent.is_tube) return;
    // Its two ends: flat faces along the axis; tilted against the radius.
    for (const PartFace &face : faces[b].faces) {
      if (face.kind != PartFace::Kind::flat || std::abs(face.normal.dot(board.v)) > 1e-3) continue;
      Vector3 middle = Vector3::Zero();
      for (const SolidEdge &edge : face.loops[0]) middle += edge.middle / double(face.loops[0].size());
      const Eigen::Matrix3d axes = board.axes_at(middle);
      const double place = board.coordinates_of(middle).x();
      const double away = place < (cut.low.x() + cut.high.x()) / 2 ? -1 : 1;
      const Vector3 out = face.normal.dot(away * axes.col(0)) < 0 ? Vector3(-face.normal) : face.normal;
      EdgeCut edge;
      edge.angle = std::atan2(std::abs(out.dot(axes.col(2))), out.dot(away * axes.col(0)));
      if (degrees(edge.angle) < square_deg) edge.angle = 0;
      edge.outer_is_longer = out.dot(axes.col(2)) < 0;
      edge.depth = board.thickness();
      edge.length = height;
      edge.line = cut.outline[away < 0 ? 3 : 1];
      const int with = behind(int(b), middle + 5e-4 * out);
      if (with >= 0) edge.with = s.boards[std::size_t(with)].name;
      cut.edges.push_back(edge);
    }
  }
};

}  // namespace

std::vector<SolidCut> solid_cuts(const Structure &s, const std::string &path) {
  const std::vector<BoardFaces> faces = board_faces(s);
  Sorter sorter{s, faces, {}, std::vector<Wood>(s.boards.size()), std::vector<SolidCut>(s.boards.size())};
  const bool step = !s.solids->step_file.empty();
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    sorter.wood[b].board = &board;
    sorter.large.emplace_back();
    if (!board.bend) sorter.large.back() = large_faces(board, faces[b]);
    std::string why = sorter.large.back().why_not;
    if (board.bend && step) why = "it is bent";
    if (!why.empty())
      throw CaseError(fmt::format(
          "{}: `cut` cannot draw \"{}\" of \"{}\": {}; allowed: plain flat boards with straight or bevelled "
          "edges and holes; take the other parts from the drawing itself",
          path, board.name, s.variant_name, why));
    if (!board.bend) sorter.outline(b);
  }
  for (std::size_t b = 0; b < s.boards.size(); ++b) s.boards[b].bend ? sorter.bent(b) : sorter.edges(b);
  for (SolidCut &cut : sorter.cuts) {
    for (auto *lines : {&cut.outline, &cut.other_edges, &cut.openings}) shift(*lines, cut.low);
    for (auto &mark : cut.marks) shift(mark.second, cut.low);
    for (EdgeCut &edge : cut.edges) {
      edge.line.from -= cut.low;
      edge.line.middle -= cut.low;
      edge.line.to -= cut.low;
    }
  }
  return sorter.cuts;
}

std::string edge_words(const Structure &s, int board, const EdgeCut &edge) {
  const auto faces = face_words(s.boards[std::size_t(board)]);
  const std::string tilt = fmt::format("{:.1f} deg", degrees(edge.angle));
  if (edge.is_chamfer) return fmt::format("chamfer {}, {} deep", tilt, mm(edge.depth));
  return fmt::format("{}{} {}{}{}", edge.angle > 0 ? "bevel " : "", edge.angle > 0 ? tilt : "square",
                     edge.with.empty() ? "at a free edge" : "with " + edge.with,
                     edge.angle > 0 ? ", longer at the " : "",
                     edge.angle > 0 ? faces[edge.outer_is_longer ? 1 : 0] + " face" : "");
}

std::string bent_words(const SolidCut::Bent &b) {
  const std::string flat = fmt::format("laid flat {} along the outer face, {} half-way, {} along the inner face",
                                       mm(b.outer), mm(b.middle), mm(b.inner));
  return b.is_tube ? fmt::format("tube of {} outside, {}", mm(2 * b.radius), flat)
                   : fmt::format("bent to {} outside, {}", mm(b.radius), flat);
}

}  // namespace stillbox
