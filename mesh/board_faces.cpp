// SPDX-License-Identifier: MIT
#include "mesh/board_faces.h"

#include <gmsh.h>

#include <algorithm>

#include "mesh/mesh_error.h"
#include "mesh/solid_model.h"

namespace stillbox {
namespace {

using Vector3 = Eigen::Vector3d;

constexpr double to_m = 1e-3;   // Gmsh's model is in millimetres
constexpr double close = 1e-6;  // m

SolidEdge edge_of_curve(int curve) {
  std::vector<double> low, high, at;
  gmsh::model::getParametrizationBounds(1, curve, low, high);
  const auto place = [&](double t) -> Vector3 {
    gmsh::model::getValue(1, curve, {t}, at);
    return to_m * Vector3(at[0], at[1], at[2]);
  };
  std::string type;
  gmsh::model::getType(1, curve, type);
  SolidEdge edge{place(low[0]), place((low[0] + high[0]) / 2), place(high[0]), true, curve};
  const Vector3 chord = (edge.from + edge.to) / 2;
  edge.is_straight = type == "Line" || (edge.middle - chord).norm() < close;
  return edge;
}

std::vector<std::vector<SolidEdge>> loops_of(std::vector<SolidEdge> edges) {
  std::vector<std::vector<SolidEdge>> loops;
  while (!edges.empty()) {
    std::vector<SolidEdge> loop{edges.back()};
    edges.pop_back();
    for (bool found = true; found && (loop.back().to - loop.front().from).norm() > close;) {
      found = false;
      for (std::size_t i = 0; i < edges.size() && !found; ++i) {
        if ((edges[i].to - loop.back().to).norm() < close) std::swap(edges[i].from, edges[i].to);
        if ((edges[i].from - loop.back().to).norm() > close) continue;
        loop.push_back(edges[i]);
        edges.erase(edges.begin() + long(i));
        found = true;
      }
    }
    loops.push_back(loop);
  }
  const auto extent = [](const std::vector<SolidEdge> &loop) {
    Vector3 low = loop[0].from, high = low;
    for (const SolidEdge &edge : loop)
      for (const Vector3 &x : {edge.from, edge.middle}) {
        low = low.cwiseMin(x);
        high = high.cwiseMax(x);
      }
    return (high - low).norm();
  };
  std::stable_sort(loops.begin(), loops.end(), [&](const auto &a, const auto &b) { return extent(a) > extent(b); });
  return loops;
}

// Newell's normal: the sum of cross products around a loop.
Vector3 normal_of(const std::vector<SolidEdge> &loop) {
  std::vector<Vector3> points;
  for (const SolidEdge &edge : loop) {
    points.push_back(edge.from);
    points.push_back(edge.middle);
  }
  Vector3 sum = Vector3::Zero();
  for (std::size_t i = 0; i < points.size(); ++i)
    sum += (points[i] - points[0]).cross(points[(i + 1) % points.size()] - points[0]);
  return sum.normalized();
}

PartFace part_face(int tag) {
  PartFace face;
  std::string type;
  gmsh::model::getType(2, tag, type);
  face.kind = type == "Plane"      ? PartFace::Kind::flat
              : type == "Cylinder" ? PartFace::Kind::round
                                   : PartFace::Kind::other;
  double area = 0;
  gmsh::model::occ::getMass(2, tag, area);
  face.area = to_m * to_m * area;
  gmsh::vectorpair curves;
  gmsh::model::getBoundary({{2, tag}}, curves, false, false, false);
  std::vector<SolidEdge> edges;
  for (const auto &[dim, curve] : curves) {
    const int number = std::abs(curve);
    // The seam of a whole cylinder runs there and back.
    const auto seen = std::find_if(edges.begin(), edges.end(), [&](const SolidEdge &e) { return e.curve == number; });
    if (seen == edges.end())
      edges.push_back(edge_of_curve(number));
    else
      edges.erase(seen);
  }
  face.loops = loops_of(edges);
  if (face.kind == PartFace::Kind::flat && !face.loops.empty()) face.normal = normal_of(face.loops.front());
  return face;
}

}  // namespace

std::vector<BoardFaces> board_faces(const Structure &s) {
  const std::vector<std::vector<int>> volumes = make_board_solids(s);
  std::vector<BoardFaces> boards;
  try {
    for (const std::vector<int> &list : volumes) {
      boards.emplace_back();
      boards.back().pieces = int(list.size());
      for (const int volume : list) {
        gmsh::vectorpair faces;
        gmsh::model::getBoundary({{3, volume}}, faces, false, false, false);
        for (const auto &[dim, tag] : faces) boards.back().faces.push_back(part_face(std::abs(tag)));
      }
    }
  } catch (const std::string &what) {
    throw MeshError("the faces of the solids could not be read: " + what);
  }
  return boards;
}

}  // namespace stillbox
