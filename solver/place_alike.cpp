// SPDX-License-Identifier: MIT
#include "solver/place_alike.h"

#include <algorithm>
#include <cmath>

#include "mesh/alike_meshes.h"
#include "solver/reduced_matrices.h"

namespace stillbox {
namespace {

// Errors: MeshError when what the cells hold is not what the boards are described to hold.
void check_volume(double wood, const Structure &s) {
  double volume = 0;
  for (double v : volumes_of(s).board) volume += v;
  if (std::abs(wood - volume) > 1e-3 * volume) throw MeshError("the mesh does not follow the boards");
}

}  // namespace

AlikeModels::AlikeModels(const std::vector<Structure> &list, const SolveOptions &o) : structures(list), options(o) {
  const MeshOptions mesh_options{o.up_to, o.fineness, o.degree};
  std::vector<const Structure *> pointers;
  const std::size_t middle = list.size() / 2;
  pointers.push_back(&list[middle]);
  for (std::size_t i = 0; i < list.size(); ++i)
    if (i != middle) pointers.push_back(&list[i]);
  meshes = make_alike_meshes(pointers, mesh_options);
  std::rotate(meshes.begin(), meshes.begin() + 1, meshes.begin() + long(middle) + 1);
  const Discretisation d = discretise(meshes[middle], o.degree);
  joints = joint_nodes(list[middle], meshes[middle], d, mesh_options);
  unknowns = number_unknowns(list[middle], d, joints.roles).count;
}

Model AlikeModels::without_matrices(int k) const {
  Model m;
  m.structure = &structures[k];
  m.mesh = meshes[k];
  m.discretisation = discretise(meshes[k], options.degree);
  m.discretisation.points = graded_points(joints.shifts, m.discretisation);
  m.unknowns = number_unknowns(structures[k], m.discretisation, joints.roles);
  if (m.unknowns.count != unknowns) throw MeshError("the meshes have other unknowns");
  m.laws = make_laws(structures[k]);
  return m;
}

Model AlikeModels::model(int k) const {
  Model m = without_matrices(k);
  m.system = assemble(structures[k], m.mesh, m.discretisation, m.unknowns, m.laws);
  check_volume(m.system.wood_volume, structures[k]);
  return m;
}

ReducedModel reduced_model(const Model &m, const Eigen::MatrixXd &V, bool with_loss) {
  const ReducedMatrices plain = reduced_matrices(*m.structure, m.mesh, m.discretisation, m.unknowns, m.laws, V);
  check_volume(plain.wood_volume, *m.structure);
  ReducedModel out{plain.stiffness, plain.mass, {}};
  if (!with_loss) return out;
  Structure s = *m.structure;
  for (Bond &bond : s.bonds) {
    bond.normal *= bond.loss_factor;
    bond.shear *= bond.loss_factor;
  }
  s.feet.clear();  // these have none
  CellLaws laws = m.laws;
  for (LayerLaw &law : laws.layers) law.law *= law.loss_factor;
  out.loss = reduced_stiffness(s, m.mesh, m.discretisation, m.unknowns, laws, V);
  return out;
}

}  // namespace stillbox
