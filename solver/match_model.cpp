// SPDX-License-Identifier: MIT
#include "solver/match_model.h"
#include "solver/lapack.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

using Nodal = Eigen::Matrix<double, Eigen::Dynamic, 3>;
using Kind = MatchUnknown::Kind;
constexpr auto &entry = ReducedModel::entry;

// World axes of a layer's material: along the grain, across it, through.
Eigen::Matrix3d material_axes(const Board &board, double grain_angle) {
  Eigen::Matrix3d axes;
  axes.col(0) = std::cos(grain_angle) * board.u + std::sin(grain_angle) * board.v;
  axes.col(1) = -std::sin(grain_angle) * board.u + std::cos(grain_angle) * board.v;
  axes.col(2) = board.normal();
  return axes;
}

// Nodal values in one cell: three matrices nodes x columns, one per world direction.
std::array<Eigen::MatrixXd, 3> values_in(const Model &m, const std::vector<Nodal> &shapes, int cell) {
  const std::vector<int> &nodes = m.discretisation.cells[cell];
  std::array<Eigen::MatrixXd, 3> values;
  for (Eigen::MatrixXd &v : values) v.resize(nodes.size(), shapes.size());
  for (std::size_t i = 0; i < shapes.size(); ++i)
    for (std::size_t a = 0; a < nodes.size(); ++a)
      for (int k = 0; k < 3; ++k) values[k](a, i) = shapes[i](nodes[a], k);
  return values;
}

// Strains in material axes at the Gauss points, Voigt order with engineering shears: six matrices points x modes.
std::array<Eigen::MatrixXd, 6> strains_of(const CellGeometry &g, const std::array<Eigen::MatrixXd, 3> &values,
                                          int modes, const Eigen::Matrix3d &axes) {
  std::array<Eigen::MatrixXd, 3> u, slope;
  for (int k = 0; k < 3; ++k) {
    u[k] = axes(0, k) * values[0].leftCols(modes) + axes(1, k) * values[1].leftCols(modes) +
           axes(2, k) * values[2].leftCols(modes);
    slope[k] = axes(0, k) * g.gradient[0] + axes(1, k) * g.gradient[1] + axes(2, k) * g.gradient[2];
  }
  std::array<Eigen::MatrixXd, 6> e;
  for (int k = 0; k < 3; ++k) e[k].noalias() = slope[k] * u[k];
  constexpr int first[3] = {1, 0, 0}, second[3] = {2, 2, 1};
  for (int k = 0; k < 3; ++k) {
    e[3 + k].noalias() = slope[second[k]] * u[first[k]];
    e[3 + k].noalias() += slope[first[k]] * u[second[k]];
  }
  return e;
}

void add_strains(const std::array<Eigen::MatrixXd, 6> &e, const Eigen::VectorXd &weights,
                 ReducedModel::MaterialPart &part) {
  for (int k = 0; k < ReducedModel::entries; ++k) {
    const auto [a, b] = entry[k];
    const Eigen::MatrixXd product = e[a].transpose() * (weights.asDiagonal() * e[b]);
    part.strain[k] += product;
    if (a != b) part.strain[k] += product.transpose();
  }
}

void add_mass(const std::array<Eigen::MatrixXd, 3> &u, const Eigen::VectorXd &weights, int modes,
              ReducedModel::MassPart &mass) {
  const int rigid = int(u[0].cols()) - modes;
  for (const Eigen::MatrixXd &component : u) {
    const Eigen::MatrixXd weighted = weights.asDiagonal() * component;
    mass.elastic.noalias() += component.leftCols(modes).transpose() * weighted.leftCols(modes);
    if (rigid == 0) continue;
    mass.cross.noalias() += component.rightCols(rigid).transpose() * weighted.leftCols(modes);
    mass.rigid.noalias() += component.rightCols(rigid).transpose() * weighted.rightCols(rigid);
  }
}

ReducedModel::MassPart no_mass(int modes, int rigid) {
  return {Eigen::MatrixXd::Zero(modes, modes), Eigen::MatrixXd::Zero(rigid, modes),
          Eigen::MatrixXd::Zero(rigid, rigid)};
}

// The six motions of the whole, when nothing holds it.
Eigen::MatrixXd free_motions(const Model &m, int rigid) {
  if (rigid < 6) return Eigen::MatrixXd(m.unknowns.count, 0);
  return whole_motions(m.unknowns, m.discretisation);
}

void project_bonds(const Model &m, const std::vector<Nodal> &shapes, int modes, ReducedModel &r) {
  for (std::size_t k = 0; k < r.unknowns.size(); ++k) {
    if (r.unknowns[k].kind != Kind::bond_stiffness) continue;
    ReducedModel::BondPart part{r.unknowns[k].bond, Eigen::MatrixXd::Zero(modes, modes)};
    for (const BondCell &cell : m.system.bonds) {
      if (m.structure->bonds[cell.bond].name != part.name) continue;
      Eigen::MatrixXd u(3 * cell.nodes.size(), modes);
      for (int i = 0; i < modes; ++i)
        for (std::size_t a = 0; a < cell.nodes.size(); ++a)
          u.block<3, 1>(3 * a, i) = shapes[i].row(cell.nodes[a]).transpose();
      part.stiffness.noalias() += u.transpose() * (cell.stiffness * u);
    }
    part.stiffness /= std::exp(r.ln_factors[k]);
    r.bonds.push_back(part);
  }
}

// The integrals over the cells of the materials and boards that are asked for.
void project_cells(const Model &m, const std::vector<Nodal> &shapes, int modes, ReducedModel &r) {
  const auto part_of = [&](int material) {
    const auto is_it = [&](const ReducedModel::MaterialPart &p) { return p.material == material; };
    return std::find_if(r.materials.begin(), r.materials.end(), is_it);
  };
  const ReferenceCell reference = make_reference_cell(m.discretisation, m.discretisation.degree + 1);
  for_each_cell(m.discretisation, reference, [&](int cell, const CellGeometry &g) {
    const HexCell &hex = m.mesh.cells[cell];
    const std::pair<int, int> owners[2] = {{hex.board, hex.layer}, {hex.mate, hex.mate_layer}};
    const Eigen::VectorXd share = first_share(*m.structure, hex, g);
    std::array<Eigen::MatrixXd, 3> values, u;
    for (int owner = 0; owner < 2; ++owner) {
      const auto [board, layer] = owners[owner];
      if (board < 0) continue;
      const LayerLaw &law = m.laws.layers[m.laws.layer_of[board][layer]];
      const auto part = part_of(law.material);
      const auto wall =
          std::find_if(r.walls.begin(), r.walls.end(), [b = board](const auto &w) { return w.board == b; });
      if (part == r.materials.end() && wall == r.walls.end()) continue;
      if (values[0].size() == 0) {
        values = values_in(m, shapes, cell);
        for (int k = 0; k < 3; ++k) u[k].noalias() = reference.values * values[k];
      }
      const Eigen::VectorXd weights = owner == 0
                                          ? Eigen::VectorXd(share.cwiseProduct(g.weights))
                                          : Eigen::VectorXd((1 - share.array()).matrix().cwiseProduct(g.weights));
      if (part != r.materials.end()) {
        const Board &b = m.structure->boards[board];
        add_strains(strains_of(g, values, modes, material_axes(b, b.layers[layer].grain_angle)), weights, *part);
        add_mass(u, weights, modes, part->mass);
      }
      if (wall == r.walls.end()) continue;
      for (const Eigen::MatrixXd &component : u)
        wall->mass.noalias() +=
            law.density * component.leftCols(modes).transpose() * (weights.asDiagonal() * component.leftCols(modes));
    }
  });
}

Eigen::MatrixXd stiffness_of(const ReducedModel::MaterialPart &part, const StressLaw &law) {
  Eigen::MatrixXd K = Eigen::MatrixXd::Zero(part.strain[0].rows(), part.strain[0].cols());
  for (int k = 0; k < ReducedModel::entries; ++k) K += law(entry[k].first, entry[k].second) * part.strain[k];
  return K;
}

double density_with(const ReducedModel &r, int material, const Eigen::VectorXd &ln_factors) {
  double density = r.start->materials[material].density;
  for (std::size_t k = 0; k < r.unknowns.size(); ++k)
    if (r.unknowns[k].kind == Kind::density && r.unknowns[k].material == material) density *= std::exp(ln_factors[k]);
  return density;
}

double bond_factor(const ReducedModel &r, const std::string &name, const Eigen::VectorXd &ln_factors) {
  for (std::size_t k = 0; k < r.unknowns.size(); ++k)
    if (r.unknowns[k].kind == Kind::bond_stiffness && r.unknowns[k].bond == name) return std::exp(ln_factors[k]);
  return 1;
}

void add_mass(ReducedModel::MassPart &to, const ReducedModel::MassPart &part, double factor) {
  to.elastic += factor * part.elastic;
  to.cross += factor * part.cross;
  to.rigid += factor * part.rigid;
}

// What `further` adds to the M-orthonormal V, M-orthonormal itself.
Eigen::MatrixXd added_directions(const SparseMatrix &mass, const Eigen::MatrixXd &V, Eigen::MatrixXd further) {
  if (further.cols() == 0) return Eigen::MatrixXd(V.rows(), 0);
  constexpr double least = 1e-8;  // of the squared length: below it a direction is rounding
  for (int pass = 0; pass < 2; ++pass) {
    further -= V * (V.transpose() * multiply(mass, further)).eval();
    const Eigen::MatrixXd gram = further.transpose() * multiply(mass, further);
    const SymmetricPairs solver = symmetric_eigenpairs(gram);
    int dropped = 0;
    while (dropped < gram.cols() && solver.values[dropped] < least) ++dropped;
    const int kept = int(gram.cols()) - dropped;
    further =
        (further * (solver.vectors.rightCols(kept) * solver.values.tail(kept).cwiseSqrt().cwiseInverse().asDiagonal()))
            .eval();
    if (kept == 0) break;
  }
  return further;
}

}  // namespace

ReducedModel make_reduced_model(const Structure &start, const std::vector<MatchUnknown> &unknowns,
                                const Eigen::VectorXd &ln_factors, const Model &m, const Spectrum &spectrum,
                                const std::vector<int> &boards, const Eigen::MatrixXd &further) {
  const EigenPairs &pairs = spectrum.elastic;
  Eigen::MatrixXd V(pairs.vectors.rows(), 0);
  {
    const Eigen::MatrixXd added = added_directions(m.system.mass, pairs.vectors, further);
    V.resize(pairs.vectors.rows(), pairs.vectors.cols() + added.cols());
    V << pairs.vectors, added;
  }
  const int modes = int(V.cols());
  const Eigen::MatrixXd R = free_motions(m, spectrum.rigid);
  const int rigid = int(R.cols());
  std::vector<Nodal> shapes;
  for (int i = 0; i < modes; ++i) shapes.push_back(expand(m.unknowns, m.discretisation, V.col(i)));
  for (int i = 0; i < rigid; ++i) shapes.push_back(expand(m.unknowns, m.discretisation, R.col(i)));

  ReducedModel r;
  r.start = &start;
  r.unknowns = unknowns;
  r.ln_factors = ln_factors;
  r.lambda = pairs.values;
  for (const MatchUnknown &u : unknowns) {
    if (u.material < 0) continue;
    const bool is_known = std::any_of(r.materials.begin(), r.materials.end(),
                                      [&](const ReducedModel::MaterialPart &p) { return p.material == u.material; });
    if (is_known) continue;
    ReducedModel::MaterialPart part;
    part.material = u.material;
    for (Eigen::MatrixXd &P : part.strain) P = Eigen::MatrixXd::Zero(modes, modes);
    part.mass = no_mass(modes, rigid);
    r.materials.push_back(part);
  }
  for (int board : boards) r.walls.push_back({board, Eigen::MatrixXd::Zero(modes, modes)});
  project_cells(m, shapes, modes, r);
  project_bonds(m, shapes, modes, r);

  // What does not change is the whole less what does: at these factors V' M V = 1.
  r.stiffness = V.transpose() * multiply(m.system.stiffness, V);
  r.mass = no_mass(modes, rigid);
  r.mass.elastic = Eigen::MatrixXd::Identity(modes, modes);
  if (rigid > 0) {
    const Eigen::MatrixXd MR = multiply(m.system.mass, R);
    r.mass.cross = MR.transpose() * V;
    r.mass.rigid = MR.transpose() * R;
  }
  for (const ReducedModel::MaterialPart &part : r.materials) {
    r.stiffness -= stiffness_of(part, law_with(start, part.material, unknowns, ln_factors));
    add_mass(r.mass, part.mass, -density_with(r, part.material, ln_factors));
  }
  for (const ReducedModel::BondPart &part : r.bonds)
    r.stiffness -= bond_factor(r, part.name, ln_factors) * part.stiffness;
  return r;
}

ReducedModes reduced_modes(const ReducedModel &r, const Eigen::VectorXd &ln_factors) {
  Eigen::MatrixXd K = r.stiffness;
  ReducedModel::MassPart M = r.mass;
  std::vector<std::vector<StressLaw>> law_slopes(r.materials.size());
  for (std::size_t p = 0; p < r.materials.size(); ++p) {
    const int material = r.materials[p].material;
    K += stiffness_of(r.materials[p], law_with(*r.start, material, r.unknowns, ln_factors, &law_slopes[p]));
    add_mass(M, r.materials[p].mass, density_with(r, material, ln_factors));
  }
  for (const ReducedModel::BondPart &part : r.bonds) K += bond_factor(r, part.name, ln_factors) * part.stiffness;
  const int rigid = int(M.rigid.rows());
  Eigen::MatrixXd follow;  // rigid motion that goes with each column of V, so that no momentum is left
  Eigen::MatrixXd condensed = M.elastic;
  if (rigid > 0) {
    Eigen::MatrixXd inverse = M.rigid;
    if (!invert_definite(inverse)) throw SolveError("the mass of the whole cabinet is not positive");
    follow = -inverse * M.cross;
    condensed += M.cross.transpose() * follow;
  }
  condensed = (0.5 * (condensed + condensed.transpose())).eval();
  K = (0.5 * (K + K.transpose())).eval();
  const SymmetricPairs solver = symmetric_eigenpairs(K, condensed);
  if ((solver.values.array() <= 0).any())
    throw SolveError(
        "the reduced model is not positive definite this far from where it was made; narrow the bounds of the "
        "unknowns");
  ReducedModes result;
  const Eigen::VectorXd &lambda = solver.values;
  result.frequency = lambda.cwiseSqrt() / (2 * M_PI);
  result.vectors = solver.vectors;
  const Eigen::MatrixXd &x = result.vectors;
  // d ln f = x' (dK - lambda dM) x / (2 lambda).
  const auto diagonal = [&](const Eigen::MatrixXd &A) {
    return Eigen::VectorXd((x.array() * (A * x).array()).colwise().sum());
  };
  result.slope = Eigen::MatrixXd::Zero(lambda.size(), r.unknowns.size());
  for (std::size_t k = 0; k < r.unknowns.size(); ++k) {
    const MatchUnknown &u = r.unknowns[k];
    Eigen::VectorXd change = Eigen::VectorXd::Zero(lambda.size());
    if (u.kind == Kind::bond_stiffness) {
      for (const ReducedModel::BondPart &part : r.bonds)
        if (part.name == u.bond) change = std::exp(ln_factors[k]) * diagonal(part.stiffness);
    }
    for (std::size_t p = 0; p < r.materials.size(); ++p) {
      const ReducedModel::MaterialPart &part = r.materials[p];
      if (part.material != u.material) continue;
      if (u.kind != Kind::density) {
        change = diagonal(stiffness_of(part, law_slopes[p][k]));
        continue;
      }
      Eigen::MatrixXd whole = part.mass.elastic;
      if (rigid > 0) {
        const Eigen::MatrixXd mixed = part.mass.cross.transpose() * follow;
        whole += mixed + mixed.transpose() + follow.transpose() * part.mass.rigid * follow;
      }
      change = -density_with(r, u.material, ln_factors) * lambda.cwiseProduct(diagonal(whole));
    }
    result.slope.col(k) = change.cwiseQuotient(2 * lambda);
  }
  return result;
}

Eigen::MatrixXd wall_shares(const ReducedModel &r, const ReducedModes &modes) {
  Eigen::MatrixXd shares(r.walls.size(), modes.frequency.size());
  const Eigen::VectorXd whole = modes.vectors.colwise().squaredNorm();
  for (std::size_t w = 0; w < r.walls.size(); ++w)
    shares.row(w) =
        (modes.vectors.array() * (r.walls[w].mass * modes.vectors).array()).colwise().sum().transpose() / whole.array();
  return shares;
}

}  // namespace stillbox
