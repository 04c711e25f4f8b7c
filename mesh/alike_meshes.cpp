// SPDX-License-Identifier: MIT
#include "mesh/alike_meshes.h"

#include <algorithm>
#include <cmath>

#include "mesh/mesh_plan.h"

namespace stillbox {
namespace {

constexpr double same_face = 1e-6;  // m

using Pairs = std::array<std::vector<std::pair<double, double>>, 3>;

// Faces of one board in both structures, by axis.
bool add_board_faces(const Structure &a, const Structure &b, std::size_t i, Pairs &pairs) {
  const Board &p = a.boards[i], &q = b.boards[i];
  if (p.name != q.name || p.layers.size() != q.layers.size() || p.cut_outs.size() != q.cut_outs.size() ||
      p.glued != q.glued || p.attached_to != q.attached_to || p.disc_radius != q.disc_radius ||
      (p.u - q.u).norm() > 1e-9 || (p.v - q.v).norm() > 1e-9 || p.outline.size() != q.outline.size())
    return false;
  if (!is_axis_aligned_box(p)) return (p.origin - q.origin).norm() < same_face;
  const auto [low_p, high_p] = world_bounds(p);
  const auto [low_q, high_q] = world_bounds(q);
  for (int axis = 0; axis < 3; ++axis) {
    pairs[axis].emplace_back(low_p[axis], low_q[axis]);
    pairs[axis].emplace_back(high_p[axis], high_q[axis]);
  }
  const int across = axis_of(p.normal());
  double n_p = 0, n_q = 0;
  for (std::size_t l = 0; l < p.layers.size(); ++l) {
    // A nearly square patch may have its grain either way: that matters only where the directions differ.
    const StressLaw &law = a.materials[p.layers[l].material].law;
    const bool has_grain = std::abs(law(0, 0) - law(1, 1)) > 1e-6 * law(0, 0);
    if (p.layers[l].material != q.layers[l].material ||
        (has_grain && std::abs(p.layers[l].grain_angle - q.layers[l].grain_angle) > 1e-9))
      return false;
    n_p += p.layers[l].thickness;
    n_q += q.layers[l].thickness;
    pairs[across].emplace_back(p.at(0, 0, n_p)[across], q.at(0, 0, n_q)[across]);
  }
  for (std::size_t c = 0; c < p.cut_outs.size(); ++c) {
    const CutOut &x = p.cut_outs[c], &y = q.cut_outs[c];
    if (x.shape != y.shape || x.opening != y.opening || cut_by_grid(a, int(i), x) != cut_by_grid(b, int(i), y))
      return false;
    if (!cut_by_grid(a, int(i), x)) continue;
    for (double side : {-0.5, 0.5}) {
      const int u = axis_of(p.u), v = axis_of(p.v);
      pairs[u].emplace_back(p.at(x.centre.x() + side * x.width, 0, 0)[u], q.at(y.centre.x() + side * y.width, 0, 0)[u]);
      pairs[v].emplace_back(p.at(0, x.centre.y() + side * x.height, 0)[v],
                            q.at(0, y.centre.y() + side * y.height, 0)[v]);
    }
  }
  return true;
}

bool same_rules(const Structure &a, const Structure &b) {
  if (a.boards.size() != b.boards.size() || a.overlaps.size() != b.overlaps.size() ||
      a.bonds.size() != b.bonds.size() || a.materials.size() != b.materials.size())
    return false;
  for (std::size_t i = 0; i < a.overlaps.size(); ++i)
    if (a.overlaps[i].first != b.overlaps[i].first || a.overlaps[i].second != b.overlaps[i].second ||
        a.overlaps[i].sharing != b.overlaps[i].sharing)
      return false;
  for (std::size_t i = 0; i < a.bonds.size(); ++i)
    if (a.bonds[i].first != b.bonds[i].first || a.bonds[i].second != b.bonds[i].second) return false;
  for (std::size_t i = 0; i < a.materials.size(); ++i)
    if (a.materials[i].name != b.materials[i].name) return false;
  return true;
}

// Sorted by the first place; false when the order is another one in the second structure.
bool order(std::vector<std::pair<double, double>> &pairs, AxisMap &map) {
  std::sort(pairs.begin(), pairs.end());
  for (const auto &[x, y] : pairs) {
    if (map.from.empty() || x - map.from.back() > same_face) {
      if (!map.to.empty() && y - map.to.back() <= same_face) return false;
      map.from.push_back(x);
      map.to.push_back(y);
    } else if (std::abs(y - map.to.back()) > same_face) {
      return false;
    }
  }
  return true;
}

PlanView view_of(const Structure &s, const Structure &reference, const Grid &grid) {
  const auto maps = axis_maps(reference, s);
  if (!maps) throw MeshError("the boards touch each other in other places");
  PlanView view{&s, grid, {}};
  for (int axis = 0; axis < 3; ++axis) {
    for (double &x : view.grid.lines[axis]) x = (*maps)[axis](x);
    for (auto &[low, high] : view.grid.relief[axis]) {
      low = (*maps)[axis](low);
      high = (*maps)[axis](high);
    }
  }
  settle_owners(s, view.grid);
  if (view.grid.owners != grid.owners) throw MeshError("the boards touch each other in other places");
  return view;
}

}  // namespace

double AxisMap::operator()(double x) const {
  if (from.empty()) return x;
  if (x <= from.front()) return x + to.front() - from.front();
  if (x >= from.back()) return x + to.back() - from.back();
  const std::size_t i = std::size_t(std::upper_bound(from.begin(), from.end(), x) - from.begin()) - 1;
  return to[i] + (x - from[i]) * (to[i + 1] - to[i]) / (from[i + 1] - from[i]);
}

std::optional<std::array<AxisMap, 3>> axis_maps(const Structure &a, const Structure &b) {
  if (!same_rules(a, b)) return std::nullopt;
  Pairs pairs;
  for (std::size_t i = 0; i < a.boards.size(); ++i)
    if (!add_board_faces(a, b, i, pairs)) return std::nullopt;
  std::array<AxisMap, 3> maps;
  for (int axis = 0; axis < 3; ++axis)
    if (!order(pairs[axis], maps[axis])) return std::nullopt;
  return maps;
}

std::vector<HexMesh> make_alike_meshes(const std::vector<const Structure *> &structures, const MeshOptions &options) {
  std::vector<HexMesh> meshes;
  with_each_try(options, [&](const MeshOptions &o) {
    meshes.clear();
    const Grid grid = make_grid(*structures[0], o.relief, has_two_layers(o));
    std::vector<PlanView> views;
    for (const Structure *s : structures) views.push_back(view_of(*s, *structures[0], grid));
    const MeshPlan plan = make_plan(views, o);
    if (!plan.regions.empty()) throw MeshError("the cut-outs leave no room for meshes that are alike");
    for (const PlanView &view : views) meshes.push_back(draw_mesh(view, plan, o));
    for (const HexMesh &mesh : meshes)
      if (mesh.nodes.size() != meshes[0].nodes.size() || mesh.cells.size() != meshes[0].cells.size())
        throw MeshError("the meshes differ");
  });
  return meshes;
}

}  // namespace stillbox
