// SPDX-License-Identifier: MIT
#include "solver/lossy_parts.h"

#include <map>
#include <set>

#include "solver/fittings.h"
#include "solver/scatter.h"
#include "solver/sparse_factor.h"

namespace stillbox {
namespace {

constexpr double energy_method_up_to = 0.1;  // loss factor

// Materials that scale alike share a part: those without a table and with one loss factor, or one material's table.
struct Group {
  int material = 0;  // one of them
  double volume = 0;
  std::string name;
  std::set<int> materials;
};

std::vector<Group> groups_of(const Model &m) {
  const Structure &s = *m.structure;
  const Volumes volumes = volumes_of(s);
  std::vector<Group> groups;
  std::map<std::pair<int, double>, std::size_t> group_at;
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    for (const Layer &layer : s.boards[b].layers) {
      const Material &material = s.materials[layer.material];
      const std::pair<int, double> key =
          material.viscoelastic ? std::pair{layer.material, 0.0} : std::pair{-1, material.loss_factor};
      const auto [at, is_new] = group_at.try_emplace(key, groups.size());
      if (is_new) groups.push_back({layer.material, 0, "", {}});
      Group &group = groups[at->second];
      group.volume += volumes.board[b] * layer.thickness / s.boards[b].thickness();
      if (group.materials.insert(layer.material).second) group.name += (group.name.empty() ? "" : ", ") + material.name;
    }
  std::stable_sort(groups.begin(), groups.end(), [](const Group &a, const Group &b) { return a.volume > b.volume; });
  return groups;
}

SparseMatrix finished(Scatter &scatter) {
  SparseMatrix stiffness, no_mass;
  scatter.finish(stiffness, no_mass);
  return stiffness;
}

// Stiffness of the cells, or shares of cells, made of the given materials.
SparseMatrix stiffness_of(const Model &m, const std::set<int> &materials) {
  const auto layer_at = [&](int board, int layer) { return m.laws.layers[m.laws.layer_of[board][layer]]; };
  const auto is_in = [&](int board, int layer) { return materials.count(layer_at(board, layer).material) > 0; };
  std::vector<CellUnknowns> cells;
  std::vector<int> index(m.mesh.cells.size(), -1);
  for (std::size_t c = 0; c < m.mesh.cells.size(); ++c) {
    const HexCell &hex = m.mesh.cells[c];
    if (!is_in(hex.board, hex.layer) && (hex.mate < 0 || !is_in(hex.mate, hex.mate_layer))) continue;
    index[c] = int(cells.size());
    cells.push_back(cell_unknowns(m.unknowns, m.discretisation, int(c)));
  }
  const auto neighbours = lower_neighbours(cells, int(m.unknowns.block_start.size()) - 1);
  Scatter scatter(m.unknowns, neighbours, false);
  const ReferenceCell reference = make_reference_cell(m.discretisation, m.discretisation.degree + 1);
  const int n = 3 * int(m.discretisation.cells[0].size());
  Eigen::MatrixXd K(n, n);
  CellGeometry g;
  for (std::size_t c = 0; c < m.mesh.cells.size(); ++c) {
    if (index[c] < 0) continue;
    cell_geometry(m.discretisation, reference, int(c), g);
    const HexCell &hex = m.mesh.cells[c];
    const Eigen::VectorXd share = first_share(*m.structure, hex, g);
    K.setZero();
    if (is_in(hex.board, hex.layer))
      add_cell_stiffness(g, share.cwiseProduct(g.weights), layer_at(hex.board, hex.layer).law, K);
    if (hex.mate >= 0 && is_in(hex.mate, hex.mate_layer))
      add_cell_stiffness(g, (1 - share.array()).matrix().cwiseProduct(g.weights),
                         layer_at(hex.mate, hex.mate_layer).law, K);
    scatter.add(cells[index[c]], K, {});
  }
  return finished(scatter);
}

SparseMatrix stiffness_of_feet(const Model &m) {
  std::vector<CellUnknowns> cells;
  for (std::size_t c = 0; c < m.mesh.cells.size(); ++c)
    cells.push_back(cell_unknowns(m.unknowns, m.discretisation, int(c)));
  Scatter scatter(m.unknowns, m.system.block_neighbours, false);
  Structure feet_only = *m.structure;
  feet_only.rim_masses.clear();
  feet_only.area_masses.clear();
  feet_only.point_masses.clear();
  double mass_of_fittings = 0;
  add_fittings(feet_only, m.mesh, m.discretisation, m.unknowns, cells, scatter, mass_of_fittings);
  return finished(scatter).pruned(0.0, 0.0);
}

SparseMatrix stiffness_of_bond(const Model &m, int bond) {
  std::vector<CellUnknowns> cells;
  for (const BondCell &cell : m.system.bonds)
    if (cell.bond == bond) cells.push_back(cell.unknowns);
  const auto neighbours = lower_neighbours(cells, int(m.unknowns.block_start.size()) - 1);
  Scatter scatter(m.unknowns, neighbours, false);
  for (const BondCell &cell : m.system.bonds)
    if (cell.bond == bond) scatter.add(cell.unknowns, cell.stiffness, {});
  return finished(scatter);
}

}  // namespace

std::complex<double> layer_scale(const Model &m, int layer, double frequency) {
  return law_scale(m.structure->materials[m.laws.layers[layer].material], frequency, m.structure->temperature);
}

DampedProblem make_damped_problem(const Model &m) {
  DampedProblem p;
  p.stiffness = &m.system.stiffness;
  p.mass = &m.system.mass;
  const std::vector<Group> groups = groups_of(m);
  for (std::size_t i = 0; i < groups.size(); ++i) {
    const Structure *s = m.structure;
    const int material = groups[i].material;
    const auto scale = [s, material](double f) { return law_scale(s->materials[material], f, s->temperature); };
    if (i == 0)
      p.base = scale;
    else
      p.parts.push_back({groups[i].name, stiffness_of(m, groups[i].materials), scale});
  }
  if (!m.structure->feet.empty())
    p.parts.push_back({"feet", stiffness_of_feet(m), [](double) { return std::complex<double>(1, 0); }});
  const std::vector<Bond> &bonds = m.structure->bonds;
  for (std::size_t b = 0; b < bonds.size(); ++b) {
    if (bonds[b].is_loose()) continue;
    const std::complex<double> scale(1, bonds[b].loss_factor);
    p.parts.push_back({bonds[b].name, stiffness_of_bond(m, int(b)), [scale](double) { return scale; }});
  }
  return p;
}

bool wants_exact_damping(const Structure &s) {
  for (const Board &board : s.boards)
    for (const Layer &layer : board.layers) {
      const Material &m = s.materials[layer.material];
      if (m.viscoelastic || m.loss_factor > energy_method_up_to) return true;
    }
  for (const Bond &bond : s.bonds)
    if (!bond.is_loose() && bond.loss_factor > energy_method_up_to) return true;
  return false;
}

}  // namespace stillbox
