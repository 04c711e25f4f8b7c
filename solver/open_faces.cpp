// SPDX-License-Identifier: MIT
#include "solver/open_faces.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "mesh/shape_room.h"

namespace stillbox {
namespace {

constexpr double wanted_pitch = 0.008;  // m
constexpr int fewest = 12, most = 100;  // rectangles a side
constexpr int asked = 4;                // points of a rectangle, each way
constexpr double step_off = 1e-5;       // m: what starts within this of a face lies on it

bool in_cut_out(const CutOut &c, const Eigen::Vector2d &p) {
  const Eigen::Vector2d d = (p - c.centre).cwiseAbs();
  const double half_u = c.width / 2, half_v = c.height / 2;
  switch (c.shape) {
    case CutOutShape::round:
      return d.norm() < half_u;
    case CutOutShape::rectangle:
      return d.x() < half_u && d.y() < half_v;
    case CutOutShape::slot: {
      const double r = std::min(half_u, half_v);
      return std::hypot(std::max(d.x() - (half_u - r), 0.0), std::max(d.y() - (half_v - r), 0.0)) < r;
    }
  }
  return false;
}

bool has_wood(const Board &board, const Eigen::Vector2d &p) {
  return is_in_outline(board, p) &&
         std::none_of(board.cut_outs.begin(), board.cut_outs.end(), [&](const CutOut &c) { return in_cut_out(c, p); });
}

// Of a [shape]: what lies before the face is air, and what lies behind it is wood.
bool is_bare_in_shape(const Structure &s, const OpenFace &face, const Eigen::Vector3d &outside,
                      const Eigen::Vector3d &within) {
  const bool is_wall = s.boards[face.board].role == BoardRole::wall;
  if (!is_in_shape_room(s, outside) || shape_brace_at(s, outside, 0) >= 0) return false;
  return is_wall ? is_in_shape_room(s, within, 0, face.board) : shape_brace_at(s, within, 0) == face.board;
}

bool is_bare(const Structure &s, const OpenFace &face, const Eigen::Vector2d &p) {
  const Board &board = s.boards[face.board];
  if (!has_wood(board, p)) return false;
  const auto at = [&](double off) { return board.at(p.x(), p.y(), face.is_high ? board.thickness() + off : -off); };
  const Eigen::Vector3d outside = at(step_off);
  if (s.solids && !is_bare_in_shape(s, face, outside, at(-step_off))) return false;
  for (std::size_t i = 0; i < s.boards.size() && !s.solids; ++i) {
    if (int(i) == face.board) continue;
    const Board &other = s.boards[i];
    const Eigen::Vector3d from = outside - other.origin;
    const double n = from.dot(other.normal());
    if (n >= 0 && n <= other.thickness() && has_wood(other, {from.dot(other.u), from.dot(other.v)})) return false;
  }
  return std::none_of(s.area_masses.begin(), s.area_masses.end(), [&](const AreaMass &m) {
    return m.board == face.board && m.on_high_side == face.is_high && (p - m.low).minCoeff() > 0 &&
           (m.high - p).minCoeff() > 0;
  });
}

// The bare share of rectangle (i, j), and the bare point nearest to the middle of what is bare.
void ask(const Structure &s, OpenFace &face, int i, int j) {
  std::vector<Eigen::Vector2d> bare;
  Eigen::Vector2d middle(0, 0);
  for (int b = 0; b < asked; ++b)
    for (int a = 0; a < asked; ++a) {
      const Eigen::Vector2d part(i + (a + 0.5) / asked, j + (b + 0.5) / asked);
      const Eigen::Vector2d p = face.low + face.pitch().cwiseProduct(part);
      if (!is_bare(s, face, p)) continue;
      bare.push_back(p);
      middle += p;
    }
  face.open.push_back(double(bare.size()) / (asked * asked));
  face.places.push_back(face.low + face.pitch().cwiseProduct(Eigen::Vector2d(i + 0.5, j + 0.5)));
  if (bare.empty() || bare.size() == asked * asked) return;
  middle /= double(bare.size());
  face.places.back() = *std::min_element(bare.begin(), bare.end(), [&](const auto &p, const auto &q) {
    return (p - middle).squaredNorm() < (q - middle).squaredNorm();
  });
}

OpenFace make_face(const Structure &s, int b, bool is_high, const std::string &word) {
  const Board &board = s.boards[b];
  OpenFace face;
  face.board = b;
  face.is_high = is_high;
  face.word = word;
  auto [low, high] = outline_bounds(board);
  if (board.role == BoardRole::wall && s.cabinet) std::tie(low, high) = clear_inner_face(*s.cabinet, board);
  face.low = low;
  face.size = high - low;
  face.nu = std::clamp(int(std::lround(face.size.x() / wanted_pitch)), fewest, most);
  face.nv = std::clamp(int(std::lround(face.size.y() / wanted_pitch)), fewest, most);
  for (int j = 0; j < face.nv; ++j)
    for (int i = 0; i < face.nu; ++i) ask(s, face, i, j);
  return face;
}

bool is_swapped(const Board &board) { return board.role == BoardRole::brace && std::abs(board.normal().y()) > 0.5; }

}  // namespace

double OpenFace::area() const {
  double sum = 0;
  for (double share : open) sum += share;
  return sum * pitch().x() * pitch().y();
}

std::vector<OpenFace> open_faces(const Structure &s) {
  std::vector<OpenFace> faces;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    const Board &board = s.boards[b];
    if (board.role == BoardRole::sheet) continue;
    const auto words = face_words(board);
    for (bool is_high : {false, true})
      if (board.role != BoardRole::wall || !is_high) faces.push_back(make_face(s, int(b), is_high, words[is_high]));
  }
  return faces;
}

Eigen::Vector2d case_place(const Structure &s, int b, const Eigen::Vector2d &uv) {
  const Board &board = s.boards[b];
  if (is_swapped(board)) return {uv.y(), uv.x()};
  if (board.role != BoardRole::wall || !s.cabinet) return uv;
  const Eigen::Vector3d corner = s.cabinet->outer.cwiseProduct((-(board.u + board.v)).cwiseMax(0));
  const Eigen::Vector3d from = board.origin - corner;
  return uv + Eigen::Vector2d(from.dot(board.u), from.dot(board.v));
}

Eigen::Vector2d case_extent(const Structure &s, int b, const Eigen::Vector2d &size) {
  return is_swapped(s.boards[b]) ? Eigen::Vector2d(size.y(), size.x()) : size;
}

}  // namespace stillbox
