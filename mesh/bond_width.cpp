// SPDX-License-Identifier: MIT
#include "mesh/bond_width.h"

#include <cmath>
#include <map>
#include <tuple>

namespace stillbox {
namespace {

constexpr double touch = 1e-6;  // m

// The faces of one bond in one plane.
struct Plane {
  int bond = 0;
  Eigen::Vector3d low, high;
  int part = 0;  ///< planes of one folded contact face share a number

  int longer_axis() const {
    int axis = 0;
    (high - low).maxCoeff(&axis);
    return axis;
  }
  // Of the two extents in the plane the lesser one; the one across the plane is nothing.
  double width() const {
    const Eigen::Vector3d e = high - low;
    return e.sum() - e.maxCoeff() - e.minCoeff();
  }
};

bool are_folded(const Plane &p, const Plane &q) {
  if (p.bond != q.bond || p.longer_axis() != q.longer_axis()) return false;
  int p_normal = 0, q_normal = 0;
  (p.high - p.low).minCoeff(&p_normal);
  (q.high - q.low).minCoeff(&q_normal);
  return p_normal != q_normal && (p.high.cwiseMin(q.high) - p.low.cwiseMax(q.low)).minCoeff() > -touch;
}

}  // namespace

void set_bond_widths(HexMesh &mesh) {
  std::map<std::tuple<int, int, long>, int> number;  // (bond, normal axis, place along it) -> plane
  std::vector<Plane> planes;
  std::vector<int> plane_of;
  for (const BondFace &face : mesh.bond_faces) {
    Eigen::Vector3d low = mesh.nodes[face.nodes_a[0]], high = low;
    for (int node : face.nodes_a) {
      low = low.cwiseMin(mesh.nodes[node]);
      high = high.cwiseMax(mesh.nodes[node]);
    }
    int axis = 0;
    (high - low).minCoeff(&axis);
    const auto key = std::make_tuple(face.bond, axis, std::lround(low[axis] / touch));
    const auto [it, is_new] = number.try_emplace(key, int(planes.size()));
    if (is_new) planes.push_back({face.bond, low, high, it->second});
    Plane &plane = planes[it->second];
    plane.low = plane.low.cwiseMin(low);
    plane.high = plane.high.cwiseMax(high);
    plane_of.push_back(it->second);
  }
  for (std::size_t i = 0; i < planes.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      if (planes[i].part == planes[j].part || !are_folded(planes[i], planes[j])) continue;
      const int old = planes[i].part;
      for (Plane &p : planes)
        if (p.part == old) p.part = planes[j].part;
    }
  std::map<int, double> width;
  for (const Plane &p : planes) width[p.part] += p.width();
  for (std::size_t f = 0; f < mesh.bond_faces.size(); ++f)
    mesh.bond_faces[f].width = width.at(planes[plane_of[f]].part);
}

}  // namespace stillbox
