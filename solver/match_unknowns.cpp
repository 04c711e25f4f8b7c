// SPDX-License-Identifier: MIT
#include "solver/match_unknowns.h"

#include <cmath>
#include <stdexcept>

namespace stillbox {
namespace {

using Kind = MatchUnknown::Kind;

bool is_of_law(const MatchUnknown &u) { return u.kind != Kind::density && u.kind != Kind::bond_stiffness; }

// d S / d ln(constant): the entries of the compliance that go as one over the constant, turned negative.
StressLaw compliance_slope(const StressLaw &S, Kind kind) {
  StressLaw slope = StressLaw::Zero();
  const auto falls = [&](int i, int j) { slope(i, j) = slope(j, i) = -S(i, j); };
  if (kind == Kind::modulus) return -S;
  if (kind == Kind::along_modulus || kind == Kind::in_plane_modulus)
    for (int j : {0, 1, 2}) falls(0, j);
  if (kind == Kind::across_modulus || kind == Kind::in_plane_modulus)
    for (int j : {1, 2}) falls(1, j);
  if (kind == Kind::in_plane_shear || kind == Kind::in_plane_modulus) falls(5, 5);
  if (kind == Kind::through_shear)
    for (int j : {3, 4}) falls(j, j);
  return slope;
}

}  // namespace

OrthotropicConstants constants_of(const StressLaw &law) {
  const StressLaw S = law.inverse();
  OrthotropicConstants c{};
  c.e1 = 1 / S(0, 0);
  c.e2 = 1 / S(1, 1);
  c.e3 = 1 / S(2, 2);
  c.nu12 = -S(0, 1) / S(0, 0);
  c.nu13 = -S(0, 2) / S(0, 0);
  c.nu23 = -S(1, 2) / S(1, 1);
  c.g23 = 1 / S(3, 3);
  c.g13 = 1 / S(4, 4);
  c.g12 = 1 / S(5, 5);
  return c;
}

StressLaw law_with(const Structure &start, int material, const std::vector<MatchUnknown> &unknowns,
                   const Eigen::VectorXd &ln_factors, std::vector<StressLaw> *derivatives) {
  const StressLaw &law = start.materials[material].law;
  double whole = 1;
  bool only_whole = true;
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    if (unknowns[k].material != material || !is_of_law(unknowns[k])) continue;
    if (unknowns[k].kind == Kind::modulus)
      whole *= std::exp(ln_factors[k]);
    else
      only_whole = false;
  }
  StressLaw result = whole * law;
  if (!only_whole) {
    OrthotropicConstants c = constants_of(result);
    for (std::size_t k = 0; k < unknowns.size(); ++k) {
      if (unknowns[k].material != material) continue;
      const double factor = std::exp(ln_factors[k]);
      const Kind kind = unknowns[k].kind;
      if (kind == Kind::along_modulus || kind == Kind::in_plane_modulus) c.e1 *= factor;
      if (kind == Kind::across_modulus || kind == Kind::in_plane_modulus) c.e2 *= factor;
      if (kind == Kind::in_plane_shear || kind == Kind::in_plane_modulus) c.g12 *= factor;
      if (kind == Kind::through_shear) {
        c.g13 *= factor;
        c.g23 *= factor;
      }
    }
    result = orthotropic_law(c);
  }
  if (derivatives) {
    derivatives->assign(unknowns.size(), StressLaw::Zero());
    const StressLaw S = result.inverse();
    for (std::size_t k = 0; k < unknowns.size(); ++k)
      if (unknowns[k].material == material && is_of_law(unknowns[k]))
        (*derivatives)[k] = unknowns[k].kind == Kind::modulus
                                ? result
                                : StressLaw(-result * compliance_slope(S, unknowns[k].kind) * result);
  }
  return result;
}

Structure structure_with(const Structure &start, const std::vector<MatchUnknown> &unknowns,
                         const Eigen::VectorXd &ln_factors) {
  Structure s = start;
  for (std::size_t k = 0; k < unknowns.size(); ++k) {
    const MatchUnknown &u = unknowns[k];
    const double factor = std::exp(ln_factors[k]);
    if (u.kind == Kind::density) {
      s.materials[u.material].density *= factor;
    } else if (u.kind == Kind::bond_stiffness) {
      for (Bond &bond : s.bonds) {
        if (bond.name != u.bond) continue;
        bond.normal *= factor;
        bond.shear *= factor;
      }
    } else {
      s.materials[u.material].law = law_with(start, u.material, unknowns, ln_factors);
    }
  }
  return s;
}

}  // namespace stillbox
