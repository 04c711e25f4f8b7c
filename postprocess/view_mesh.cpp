// SPDX-License-Identifier: MIT
#include "postprocess/view_mesh.h"

#include <vtkBase64Utilities.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <numeric>
#include <set>

#include "postprocess/text.h"
#include "postprocess/view_parts.h"
#include "solver/discretisation.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

using Key = std::array<int, 4>;  // of a place: a node, a point of an edge, a point within a face

constexpr int most_pieces = 6;   // of an edge of an element
constexpr int round_pieces = 3;  // of a round edge at least

struct Face {
  int cell = 0, direction = 0, side = 0;
  std::array<int, 4> corners{};  // around the face, the first two along its first direction
  Eigen::Vector3d middle{0, 0, 0}, normal{0, 0, 1};
};

struct Surface {
  const Structure &structure;
  const ModalField &field;
  std::vector<Face> faces;
  std::map<Edge, int> pieces;

  int node(int cell, int i, int j, int k) const {
    const int n = field.degree + 1;
    return field.cells[std::size_t(cell)][std::size_t(i + n * (j + n * k))];
  }
  // Node of a face at (a, b) along its two directions.
  int face_node(const Face &f, int a, int b) const {
    std::array<int, 3> at{};
    at[std::size_t(f.direction)] = f.side * field.degree;
    at[std::size_t((f.direction + 1) % 3)] = a;
    at[std::size_t((f.direction + 2) % 3)] = b;
    return node(f.cell, at[0], at[1], at[2]);
  }
  Eigen::Vector3d point(int n) const { return field.points.row(n); }
};

bool is_inside(const CabinetFrame &c, const Eigen::Vector3d &x) {
  constexpr double close = 1e-6;
  return ((x - c.inner_low).array() > -close).all() && ((c.inner_high - x).array() > -close).all();
}

void find_faces(Surface &s) {
  const int p = s.field.degree;
  std::set<std::pair<int, int>> hidden;  // of solids: what of the walls looks into the room
  if (s.structure.solids)
    for (const SkinFace &skin : solid_skin(s.structure, s.field))
      if (skin.part == SkinPart::inside) hidden.emplace(skin.cell, skin.face);
  std::map<std::array<int, 4>, std::pair<int, Face>> found;
  for (int c = 0; c < int(s.field.cells.size()); ++c) {
    const Board &board = s.structure.boards[std::size_t(s.field.cell_board[std::size_t(c)])];
    if (board.role == BoardRole::sheet && s.structure.cabinet) {
      const Eigen::Vector3d middle = 0.5 * (s.point(s.node(c, 0, 0, 0)) + s.point(s.node(c, p, p, p)));
      if (is_inside(*s.structure.cabinet, middle)) continue;
    }
    for (int d = 0; d < 3; ++d)
      for (int side = 0; side < 2; ++side) {
        Face f{c, d, side, {}, {0, 0, 0}, {0, 0, 1}};
        f.corners = {s.face_node(f, 0, 0), s.face_node(f, p, 0), s.face_node(f, p, p), s.face_node(f, 0, p)};
        std::array<int, 4> key = f.corners;
        std::sort(key.begin(), key.end());
        auto &entry = found[key];
        ++entry.first;
        entry.second = f;
      }
  }
  for (const auto &[key, entry] : found) {
    if (entry.first != 1) continue;
    Face f = entry.second;
    const auto &k = f.corners;
    f.middle = 0.25 * (s.point(k[0]) + s.point(k[1]) + s.point(k[2]) + s.point(k[3]));
    f.normal = (s.point(k[2]) - s.point(k[0])).cross(s.point(k[3]) - s.point(k[1])).normalized();
    if (f.side == 0) f.normal = -f.normal;
    const BoardRole role = s.structure.boards[std::size_t(s.field.cell_board[std::size_t(f.cell)])].role;
    if (s.structure.cabinet && (role == BoardRole::wall || role == BoardRole::sheet) &&
        is_inside(*s.structure.cabinet, f.middle))
      continue;
    if (role == BoardRole::wall && hidden.count({f.cell, 2 * f.direction + f.side}) > 0) continue;
    s.faces.push_back(f);
  }
}

NodeSum place_of(const Surface &s, const Face &f, double a, double b) {
  const Eigen::VectorXd u = lagrange_values(s.field.knots, a), v = lagrange_values(s.field.knots, b);
  NodeSum place;
  for (int j = 0; j < v.size(); ++j)
    for (int i = 0; i < u.size(); ++i)
      if (u[i] * v[j] != 0) place.nodes.emplace_back(s.face_node(f, i, j), u[i] * v[j]);
  return place;
}

// Opposite edges of a face get the same number of pieces, so all that are joined by faces do.
void divide(Surface &s, double step, bool rounds) {
  std::map<Edge, int> number;
  std::vector<double> longest;
  std::vector<int> parent, least;
  const auto id = [&](const Edge &e) {
    const auto [it, fresh] = number.emplace(e, int(parent.size()));
    if (fresh) {
      parent.push_back(it->second);
      longest.push_back((s.point(e.first) - s.point(e.second)).norm());
      least.push_back(1);
    }
    return it->second;
  };
  const auto root = [&](int e) {
    while (parent[std::size_t(e)] != e) e = parent[std::size_t(e)] = parent[std::size_t(parent[std::size_t(e)])];
    return e;
  };
  const auto join = [&](int a, int b) {
    a = root(a);
    b = root(b);
    parent[std::size_t(b)] = a;
    longest[std::size_t(a)] = std::max(longest[std::size_t(a)], longest[std::size_t(b)]);
    least[std::size_t(a)] = std::max(least[std::size_t(a)], least[std::size_t(b)]);
  };
  const auto bend = [&](const Face &f, double a, double b, const Edge &e) {
    const Eigen::Vector3d straight = 0.5 * (s.point(e.first) + s.point(e.second));
    const int of = id(e);
    if ((sum_of(place_of(s, f, a, b), s.field.points) - straight).norm() > round_edge * longest[std::size_t(of)])
      least[std::size_t(of)] = round_pieces;
  };
  for (const Face &f : s.faces) {
    const auto &k = f.corners;
    if (rounds) {
      bend(f, 0.5, 0, edge_of(k[0], k[1]));
      bend(f, 1, 0.5, edge_of(k[1], k[2]));
      bend(f, 0.5, 1, edge_of(k[2], k[3]));
      bend(f, 0, 0.5, edge_of(k[3], k[0]));
    }
    join(id(edge_of(k[0], k[1])), id(edge_of(k[2], k[3])));
    join(id(edge_of(k[1], k[2])), id(edge_of(k[3], k[0])));
  }
  s.pieces.clear();
  for (const auto &[edge, e] : number)
    s.pieces[edge] = std::clamp(int(std::lround(longest[std::size_t(root(e))] / step + 0.2)),
                                least[std::size_t(root(e))], most_pieces);
}

// The place at (i, j) of a face divided into nu x nv pieces; the key is the same seen from each face that has it.
Key key_of(const Face &f, int face, int i, int j, int nu, int nv) {
  const auto &k = f.corners;
  const bool at_u = i == 0 || i == nu, at_v = j == 0 || j == nv;
  if (at_u && at_v) return {0, k[j == 0 ? (i == 0 ? 0 : 1) : (i == 0 ? 3 : 2)], 0, 0};
  const auto on_edge = [](int from, int to, int step, int of) -> Key {
    return from < to ? Key{1, from, to, step} : Key{1, to, from, of - step};
  };
  if (at_v) return j == 0 ? on_edge(k[0], k[1], i, nu) : on_edge(k[3], k[2], i, nu);
  if (at_u) return i == 0 ? on_edge(k[0], k[3], j, nv) : on_edge(k[1], k[2], j, nv);
  return {2, face, i, j};
}

Vertices make_vertices(const Surface &s) {
  Vertices out;
  std::map<std::pair<Key, std::pair<int, RoundedNormal>>, int> known;
  EdgeSides<Key> sides;
  for (int n = 0; n < int(s.faces.size()); ++n) {
    const Face &f = s.faces[std::size_t(n)];
    const int board = s.field.cell_board[std::size_t(f.cell)];
    const RoundedNormal rounded = rounded_normal(f.normal);
    const Board &own = s.structure.boards[std::size_t(board)];
    const double along = f.normal.dot(own.axes_at(f.middle).col(2));
    const bool is_flat = std::abs(along) > flat_face;
    const auto normal_at = [&](const NodeSum &place) -> Eigen::Vector3d {
      if (!own.bend) return f.normal;
      return (along > 0 ? 1 : -1) * own.axes_at(sum_of(place, s.field.points)).col(2);
    };
    const int nu = s.pieces.at(edge_of(f.corners[0], f.corners[1]));
    const int nv = s.pieces.at(edge_of(f.corners[1], f.corners[2]));
    std::vector<int> ids;
    std::vector<Key> keys;
    for (int j = 0; j <= nv; ++j)
      for (int i = 0; i <= nu; ++i) {
        keys.push_back(key_of(f, n, i, j, nu, nv));
        const auto [it, fresh] =
            known.emplace(std::pair(keys.back(), std::pair(board, rounded)), int(out.places.size()));
        if (fresh) {
          out.places.push_back(place_of(s, f, double(i) / nu, double(j) / nv));
          out.board.push_back(board);
          out.normal.push_back(is_flat ? normal_at(out.places.back()) : Eigen::Vector3d::Zero());
        }
        ids.push_back(it->second);
      }
    const auto at = [&](int i, int j) { return std::size_t(i + j * (nu + 1)); };
    for (int j = 0; j < nv; ++j)
      for (int i = 0; i < nu; ++i)
        out.quads.push_back({ids[at(i, j)], ids[at(i + 1, j)], ids[at(i + 1, j + 1)], ids[at(i, j + 1)]});
    const auto note = [&](std::size_t a, std::size_t b) {
      const bool swapped = keys[b] < keys[a];
      sides[swapped ? std::pair(keys[b], keys[a]) : std::pair(keys[a], keys[b])].push_back(
          {f.normal, board, {ids[a], ids[b]}});
    };
    for (int i = 0; i < nu; ++i) {
      note(at(i, 0), at(i + 1, 0));
      note(at(i, nv), at(i + 1, nv));
    }
    for (int j = 0; j < nv; ++j) {
      note(at(0, j), at(0, j + 1));
      note(at(nu, j), at(nu, j + 1));
    }
  }
  out.lines = shown_lines(sides);
  return out;
}

double extent_of(const Surface &s, int axis) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Face &f : s.faces)
    for (int n : f.corners) {
      low = std::min(low, s.point(n)[axis]);
      high = std::max(high, s.point(n)[axis]);
    }
  return s.faces.empty() ? 0 : high - low;
}

std::vector<std::int8_t> shape_of(const Vertices &v, const Eigen::Matrix<double, Eigen::Dynamic, 3> &shape) {
  std::vector<Eigen::Vector3d> moves;
  double most = 0;
  for (const NodeSum &place : v.places) {
    moves.push_back(sum_of(place, shape));
    most = std::max(most, moves.back().norm());
  }
  std::vector<std::int8_t> out;
  for (const Eigen::Vector3d &move : moves)
    for (int c = 0; c < 3; ++c) out.push_back(std::int8_t(most > 0 ? std::lround(127 * move[c] / most) : 0));
  return out;
}

template <class T>
std::string base64(const std::vector<T> &values) {
  const auto *bytes = reinterpret_cast<const unsigned char *>(values.data());  // little-endian as the machine is
  const std::size_t length = values.size() * sizeof(T);
  std::string out(4 * ((length + 2) / 3), '=');
  if (length > 0) out.resize(vtkBase64Utilities::Encode(bytes, length, reinterpret_cast<unsigned char *>(out.data())));
  return out;
}

}  // namespace

ViewMesh view_mesh(const Structure &structure, const ModalField &field, int most_modes, const ViewLimits &limits) {
  ViewMesh out;
  for (const Board &board : structure.boards) out.boards.push_back(board.name);
  Vertices v;
  if (field.tetrahedron.rows() > 0) {
    const SolidView view(structure, field);
    v = view.vertices(true);
    if (v.places.size() > limits.points) v = view.vertices(false);
  } else {
    Surface s{structure, field, {}, {}};
    find_faces(s);
    double size = 0;
    for (int c = 0; c < 3; ++c) size = std::max(size, extent_of(s, c));
    for (double step = size / 16; !s.faces.empty() && step < 4 * size; step *= 1.5) {
      divide(s, step, step < 0.1 * size);
      v = make_vertices(s);
      if (v.places.size() <= limits.points) break;
    }
  }
  if (v.places.empty()) return out;
  std::vector<Eigen::Vector3d> points;
  Eigen::Vector3d low = Eigen::Vector3d::Constant(std::numeric_limits<double>::infinity()), high = -low;
  for (const NodeSum &place : v.places) {
    points.push_back(sum_of(place, field.points));
    low = low.cwiseMin(points.back());
    high = high.cwiseMax(points.back());
  }
  out.low = low;
  out.size = (high - low).maxCoeff();
  if (v.places.size() > std::numeric_limits<std::uint16_t>::max()) return out;  // no surface: pictures only
  for (std::size_t p = 0; p < v.places.size(); ++p) {
    for (int c = 0; c < 3; ++c) {
      out.points.push_back(
          std::uint16_t(std::lround(65535 * std::clamp((points[p][c] - low[c]) / out.size, 0.0, 1.0))));
      out.normals.push_back(std::int8_t(std::lround(127 * v.normal[p][c])));
    }
    out.board.push_back(std::uint8_t(v.board[p]));
  }
  for (const auto &quad : v.quads)
    for (int n : quad) out.quads.push_back(std::uint16_t(n));
  for (const Edge &line : v.lines) {
    out.lines.push_back(std::uint16_t(line.first));
    out.lines.push_back(std::uint16_t(line.second));
  }
  const std::size_t modes =
      std::min({field.shapes.size(), std::size_t(std::max(most_modes, 0)), limits.shape_bytes / out.points.size()});
  for (std::size_t m = 0; m < modes; ++m) out.shapes.push_back(shape_of(v, field.shapes[m]));
  return out;
}

std::string view_mesh_json(const ViewMesh &mesh) {
  nlohmann::ordered_json j;
  j["boards"] = nlohmann::ordered_json::array();
  for (const std::string &board : mesh.boards) j["boards"].push_back(clean_text(board));
  j["low"] = {mesh.low.x(), mesh.low.y(), mesh.low.z()};
  j["size"] = mesh.size;
  j["points"] = base64(mesh.points);
  j["normals"] = base64(mesh.normals);
  j["board"] = base64(mesh.board);
  j["quads"] = base64(mesh.quads);
  j["lines"] = base64(mesh.lines);
  j["shapes"] = nlohmann::ordered_json::array();
  for (const auto &shape : mesh.shapes) j["shapes"].push_back(base64(shape));
  return j.dump();
}

}  // namespace stillbox
