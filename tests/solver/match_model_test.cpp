// SPDX-License-Identifier: MIT
// The reduced model against full solutions, its slopes against finite differences, its laws against their definition.
#include "solver/match_model.h"

#include "solver/energies.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

using Eigen::VectorXd;
using Kind = MatchUnknown::Kind;

Material plywood() {
  Material m;
  m.name = "ply";
  m.law = orthotropic_law({10e9, 6e9, 0.6e9, 0.05, 0.4, 0.4, 0.62e9, 0.2e9, 0.17e9});
  m.density = 680;
  return m;
}

MatchUnknown unknown(Kind kind, int material, const std::string &bond = "") {
  MatchUnknown u;
  u.kind = kind;
  u.material = material;
  u.bond = bond;
  return u;
}

const std::vector<MatchUnknown> all_of_ply{unknown(Kind::along_modulus, 0),    unknown(Kind::across_modulus, 0),
                                           unknown(Kind::in_plane_shear, 0),   unknown(Kind::through_shear, 0),
                                           unknown(Kind::in_plane_modulus, 0), unknown(Kind::modulus, 0)};

TEST(MatchModel, LawsFollowTheirConstants) {
  Structure s;
  s.materials = {plywood()};
  VectorXd p(6);
  p << 0.2, -0.3, 0.1, 0.4, 0.15, -0.25;
  const OrthotropicConstants was = constants_of(s.materials[0].law);
  EXPECT_NEAR(was.e1 / 10e9, 1, 1e-12);
  EXPECT_NEAR(was.nu23, 0.4, 1e-12);
  const OrthotropicConstants is = constants_of(law_with(s, 0, all_of_ply, p));
  EXPECT_NEAR(is.e1, was.e1 * std::exp(0.2 + 0.15 - 0.25), 1e-3);
  EXPECT_NEAR(is.e2, was.e2 * std::exp(-0.3 + 0.15 - 0.25), 1e-3);
  EXPECT_NEAR(is.e3, was.e3 * std::exp(-0.25), 1e-3);
  EXPECT_NEAR(is.g12, was.g12 * std::exp(0.1 + 0.15 - 0.25), 1e-3);
  EXPECT_NEAR(is.g13, was.g13 * std::exp(0.4 - 0.25), 1e-3);
  EXPECT_NEAR(is.g23, was.g23 * std::exp(0.4 - 0.25), 1e-3);
  EXPECT_NEAR(is.nu12, was.nu12, 1e-12);
  EXPECT_NEAR(is.nu13, was.nu13, 1e-12);

  std::vector<StressLaw> slopes;
  const StressLaw law = law_with(s, 0, all_of_ply, p, &slopes);
  for (int k = 0; k < 6; ++k) {
    const double h = 1e-5;
    VectorXd up = p, down = p;
    up[k] += h;
    down[k] -= h;
    const StressLaw difference = (law_with(s, 0, all_of_ply, up) - law_with(s, 0, all_of_ply, down)) / (2 * h);
    EXPECT_LT((slopes[k] - difference).norm(), 1e-8 * law.norm()) << k;
  }
}

// A plate of two kinds of wood, the second a rib on a bond, grain turned: everything that can be unknown.
Structure ribbed() {
  Structure s = free_plate(0.3, 0.2, 0.012, plywood());
  s.boards[0].layers[0].grain_angle = 0.3;
  s.materials.push_back(isotropic(3.5e9, 0.25, 750));
  s.materials[1].name = "wood";
  s.boards.push_back(make_rectangle("rib", {0, 0.106, 0.012}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitZ(), 0.3,
                                    0.04, 0.012, 1));
  s.bonds = {{"foot", 0, 1, 3e8, 1e8, 0}};
  return s;
}

const std::vector<MatchUnknown> of_ribbed{unknown(Kind::along_modulus, 0),
                                          unknown(Kind::across_modulus, 0),
                                          unknown(Kind::in_plane_shear, 0),
                                          unknown(Kind::density, 0),
                                          unknown(Kind::modulus, 1),
                                          unknown(Kind::density, 1),
                                          unknown(Kind::bond_stiffness, -1, "foot")};

struct Whole {
  Structure structure;
  Model model;
  Spectrum spectrum;
};

// A full solution on the mesh of the start.
std::unique_ptr<Whole> solve_with(const Structure &start, const std::vector<MatchUnknown> &unknowns, const VectorXd &p,
                                  const SolveOptions &options) {
  auto w = std::make_unique<Whole>();
  w->structure = structure_with(start, unknowns, p);
  SolveReport report;
  w->model = build_model(start, options, report);
  w->model.structure = &w->structure;
  w->model.laws = make_laws(w->structure);
  w->model.system = assemble(w->structure, w->model.mesh, w->model.discretisation, w->model.unknowns, w->model.laws);
  w->spectrum = solve_spectrum(w->model, options, report);
  return w;
}

VectorXd hertz(const Whole &w) { return w.spectrum.elastic.values.cwiseSqrt() / (2 * M_PI); }

TEST(MatchModel, IsExactWhereItWasMadeWithExactSlopes) {
  const Structure start = ribbed();
  const SolveOptions options = to(1800, 2, 0.5);
  VectorXd at(7);
  at << 0.1, -0.1, 0.05, 0.02, -0.05, 0.1, 0.3;
  const auto here = solve_with(start, of_ribbed, at, options);
  const int modes = int(here->spectrum.elastic.values.size());
  ASSERT_GE(modes, 6);
  const ReducedModel r = make_reduced_model(start, of_ribbed, at, here->model, here->spectrum, {0, 1});
  const ReducedModes m = reduced_modes(r, at);
  for (int i = 0; i < modes; ++i) EXPECT_NEAR(m.frequency[i] / hertz(*here)[i], 1, 1e-9);
  // Whatever is left of K belongs to no unknown: here nothing, and of M neither.
  EXPECT_LT(r.stiffness.cwiseAbs().maxCoeff(), 1e-7 * r.lambda.maxCoeff());
  EXPECT_LT(r.mass.elastic.cwiseAbs().maxCoeff(), 1e-7);

  // Against full solutions, not against the reduced one.
  for (int k : {1, 3, 6}) {
    const double h = 2e-3;
    VectorXd up = at, down = at;
    up[k] += h;
    down[k] -= h;
    const VectorXd fu = hertz(*solve_with(start, of_ribbed, up, options)),
                   fd = hertz(*solve_with(start, of_ribbed, down, options));
    ASSERT_GE(fu.size(), modes - 1);
    for (int i = 0; i < modes - 1; ++i)
      EXPECT_NEAR(m.slope(i, k), std::log(fu[i] / fd[i]) / (2 * h), 2e-5) << "mode " << i << ", unknown " << k;
  }
  // The boards share out the kinetic energy of a free structure without fittings.
  const Eigen::MatrixXd shares = wall_shares(r, m);
  for (int i = 0; i < modes; ++i) EXPECT_NEAR(shares.col(i).sum(), 1, 1e-8);
}

// `ribbed` as it is: solved in full, and the reduced model made of that.
struct RibbedStart {
  Structure structure = ribbed();
  SolveOptions options = to(1800, 2, 0.5);
  VectorXd zero = VectorXd::Zero(7);
  std::unique_ptr<Whole> whole = solve_with(structure, of_ribbed, zero, options);
  ReducedModel reduced = make_reduced_model(structure, of_ribbed, zero, whole->model, whole->spectrum, {});
};

// Slopes away from the place it was made, against differences of the reduced frequencies: rigid motions follow.
TEST(MatchModel, SlopesHoldAwayFromTheStart) {
  const RibbedStart s;
  VectorXd p(7);
  p << 0.2, -0.3, 0.1, -0.3, 0.2, 0.4, -0.5;
  const ReducedModes m = reduced_modes(s.reduced, p);
  for (int k = 0; k < 7; ++k) {
    const double h = 1e-5;
    VectorXd up = p, down = p;
    up[k] += h;
    down[k] -= h;
    const VectorXd difference =
        (reduced_modes(s.reduced, up).frequency.array() / reduced_modes(s.reduced, down).frequency.array()).log() /
        (2 * h);
    EXPECT_LT((m.slope.col(k) - difference).cwiseAbs().maxCoeff(), 1e-7) << k;
  }
  // All moduli and bonds by one factor: exact however far, shapes do not change.
  const std::vector<MatchUnknown> moduli{unknown(Kind::modulus, 0), unknown(Kind::modulus, 1),
                                         unknown(Kind::bond_stiffness, -1, "foot")};
  const ReducedModel scaled =
      make_reduced_model(s.structure, moduli, VectorXd::Zero(3), s.whole->model, s.whole->spectrum, {});
  const VectorXd doubled = reduced_modes(scaled, VectorXd::Constant(3, std::log(2.0))).frequency;
  for (int i = 0; i < doubled.size(); ++i) EXPECT_NEAR(doubled[i] / hertz(*s.whole)[i], std::sqrt(2.0), 1e-9);
}

// The reduced frequencies lie above the full ones (Rayleigh and Ritz) by a part of second order.
TEST(MatchModel, ErrsToSecondOrderOnly) {
  const RibbedStart s;
  VectorXd direction(7);
  direction << 0.3, -0.3, 0.2, -0.2, 0.2, 0.2, -0.6;
  double last = 0;
  for (double step : {0.25, 0.5}) {
    const VectorXd reduced = reduced_modes(s.reduced, step * direction).frequency;
    const VectorXd full = hertz(*solve_with(s.structure, of_ribbed, step * direction, s.options));
    double worst = 0;
    for (int i = 0; i < 4; ++i) {
      EXPECT_GT(reduced[i], full[i] * (1 - 1e-9));
      worst = std::max(worst, reduced[i] / full[i] - 1);
    }
    EXPECT_TRUE(last == 0 || std::abs(worst / last - 4) < 0.4) << worst / last;
    if (std::getenv("STILLBOX_TELL")) std::printf("    step %.2f: worst %.3e\n", step, worst);
    last = worst;
  }
}

}  // namespace
}  // namespace stillbox
