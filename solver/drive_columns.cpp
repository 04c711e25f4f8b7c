// SPDX-License-Identifier: MIT
#include "solver/drive_columns.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <cmath>
#include <map>
#include <optional>

#include "solver/cell_weights.h"
#include "solver/locate.h"
#include "solver/solid_skin.h"

namespace stillbox {
namespace {

// Shape values (points x nodes) with a vector weight for each point, as weights on the displacement components.
Eigen::VectorXd component_weights(const Eigen::MatrixXd &values,
                                  const Eigen::Matrix<double, Eigen::Dynamic, 3> &vectors) {
  const Eigen::MatrixXd weight = values.transpose() * vectors;  // nodes x 3
  Eigen::VectorXd flat(3 * weight.rows());
  for (int a = 0; a < weight.rows(); ++a) flat.segment<3>(3 * a) = weight.row(a).transpose();
  return flat;
}

const Discretisation::RimNodes &rim_of(const Model &m, const WallCutOut &cut_out) {
  for (const auto &rim : m.discretisation.rims)
    if (rim.board == cut_out.board && rim.cut_out == cut_out.index) return rim;
  throw SolveError("the rim of cut-out \"" + cut_out.name + "\" was not meshed");
}

SampleColumns inner_columns_of_solids(const Model &m) {
  const std::vector<int> walls = sound_walls(*m.structure);
  WeightList list;
  for (const SkinFace &face : solid_skin(m)) {
    if (face.part != SkinPart::inside) continue;
    const auto wall = std::find(walls.begin(), walls.end(), face.board) - walls.begin();
    const FaceGeometry g = face_geometry(m.discretisation, face.cell, face.face, m.discretisation.degree + 1);
    add_cell_weights(m, face.cell, component_weights(g.values, -g.area), int(wall), list);
  }
  return columns_from(m, int(walls.size()) + 1, list);
}

}  // namespace

std::vector<WallCutOut> wall_cut_outs(const Structure &s) {
  std::vector<WallCutOut> list;
  const std::vector<int> walls = sound_walls(s);
  for (int w = 0; w < int(walls.size()); ++w) {
    const int board = walls[w];
    if (board < 0) continue;
    const std::vector<CutOut> &cut_outs = s.boards[board].cut_outs;
    for (std::size_t c = 0; c < cut_outs.size(); ++c)
      list.push_back({cut_outs[c].name, w, board, int(c), cut_out_area(cut_outs[c])});
  }
  return list;
}

SampleColumns rim_columns(const Model &m, const std::vector<WallCutOut> &cut_outs) {
  const Discretisation &d = m.discretisation;
  WeightList list;
  for (std::size_t i = 0; i < cut_outs.size(); ++i) {
    const Eigen::RowVector3d normal = m.structure->boards[cut_outs[i].board].normal();
    std::vector<std::pair<int, FaceGeometry>> faces;
    double area = 0;
    for (const auto &[cell, face] : rim_of(m, cut_outs[i]).faces) {
      faces.emplace_back(cell, face_geometry(d, cell, face, d.degree + 1));
      area += faces.back().second.area.rowwise().norm().sum();
    }
    for (const auto &[cell, g] : faces) {
      const Eigen::VectorXd share = g.area.rowwise().norm() / area;
      add_cell_weights(m, cell, component_weights(g.values, share * normal), int(i), list);
    }
  }
  return columns_from(m, int(cut_outs.size()), list);
}

SampleColumns inner_wall_columns(const Model &m) {
  const Discretisation &d = m.discretisation;
  if (m.structure->solids) return inner_columns_of_solids(m);
  assert(m.structure->cabinet);
  const CabinetFrame &frame = *m.structure->cabinet;
  constexpr std::array<int, 6> axis{1, 1, 0, 0, 2, 2};  // of the walls in the order of Wall
  constexpr std::array<bool, 6> is_far{false, true, false, true, true, false};
  constexpr double tolerance = 1e-7;
  WeightList list;
  for (std::size_t cell = 0; cell < d.cells.size(); ++cell) {
    const HexCell &hex = m.mesh.cells[cell];
    for (int w = 0; w < 6; ++w) {
      const int board = frame.walls[w];
      if (board < 0 || (hex.board != board && hex.mate != board)) continue;
      const double plane = is_far[w] ? frame.inner_high[axis[w]] : frame.inner_low[axis[w]];
      for (int face = 0; face < 6; ++face) {
        bool is_inner = true;
        for (const Eigen::Vector3d &x : face_corners(d, int(cell), face)) {
          is_inner = is_inner && std::abs(x[axis[w]] - plane) < tolerance;
          for (int a = 0; a < 3; ++a)
            is_inner = is_inner && x[a] > frame.inner_low[a] - tolerance && x[a] < frame.inner_high[a] + tolerance;
        }
        if (!is_inner) continue;
        const FaceGeometry g = face_geometry(d, int(cell), face, d.degree + 1);
        add_cell_weights(m, int(cell), component_weights(g.values, -g.area), w, list);
      }
    }
  }
  return columns_from(m, 6, list);
}

SampleColumns outside_columns(const Model &m, const SurfaceMesh &mesh) {
  const Discretisation &d = m.discretisation;
  // The wall behind an element first; at its edges other walls may show.
  const std::vector<int> walls = sound_walls(*m.structure);
  const int count = int(walls.size());
  std::vector<std::optional<Locator>> locators(walls.size());
  for (int w = 0; w < count; ++w)
    if (walls[w] >= 0) locators[w].emplace(m.mesh, d, walls[w]);
  // Elements are flat and a bent wall is not.
  const auto on_wall = [&](int w, const Eigen::Vector3d &x, double part) -> Eigen::Vector3d {
    if (m.structure->cabinet) return x;
    const Board &board = m.structure->boards[walls[w]];
    const Eigen::Vector3d p = board.coordinates_of(x);
    return board.at(p.x(), p.y(), part * board.thickness());
  };
  const double g = std::sqrt(0.6) / 2;
  const std::array<double, 3> places{0.5 - g, 0.5, 0.5 + g}, weights{5.0 / 18, 8.0 / 18, 5.0 / 18};
  struct Sample {
    Located at;
    double weight;
  };
  WeightList list;
  for (int e = 0; e < int(mesh.elements.size()); ++e) {
    std::vector<Sample> samples;
    double sum = 0;
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 3; ++j) {
        const SurfacePoint point = surface_point(mesh, e, places[i], places[j]);
        std::optional<Located> found;
        const Eigen::Vector3d place = on_wall(mesh.wall[e], point.at, 1);
        for (int turn = 0; turn < count && !found; ++turn) {
          const int w = (mesh.wall[e] + turn) % count;
          if (locators[w]) found = locators[w]->find(place, m.structure->cabinet ? 1e-4 : 2e-3);
        }
        // A coarse mesh of low degree follows a bend less closely: just under its face then.
        if (!found && m.structure->solids && m.structure->boards[walls[mesh.wall[e]]].bend)
          found = locators[mesh.wall[e]]->find(on_wall(mesh.wall[e], point.at, 0.93), 1e-3);
        if (!found) continue;
        samples.push_back({*found, weights[i] * weights[j] * point.normal_area.norm()});
        sum += samples.back().weight;
      }
    std::map<int, Eigen::VectorXd> by_cell;
    for (const Sample &sample : samples) {
      const Eigen::VectorXd shape = shape_values(d, sample.at.xi) * (sample.weight / sum);
      by_cell.try_emplace(sample.at.cell, Eigen::VectorXd::Zero(shape.size())).first->second += shape;
    }
    for (const auto &[cell, shape] : by_cell) {
      const Eigen::MatrixXd vectors = mesh.normals.row(e);
      add_cell_weights(m, cell, component_weights(shape.transpose(), vectors), e, list);
    }
  }
  return columns_from(m, int(mesh.elements.size()), list);
}

}  // namespace stillbox
