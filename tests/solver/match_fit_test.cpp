// SPDX-License-Identifier: MIT
// Frequencies computed for known factors, with noise, must lead back to them from elsewhere.
#include "solver/match_fit.h"

#include <random>

#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

using Eigen::VectorXd;
using Kind = MatchUnknown::Kind;

Material named(Material m, const std::string &name, double loss = 0) {
  m.name = name;
  m.loss_factor = loss;
  return m;
}

const Material ply = named(
    [] {
      Material m;
      m.law = orthotropic_law({10e9, 6e9, 0.6e9, 0.05, 0.4, 0.4, 0.62e9, 0.2e9, 0.17e9});
      m.density = 680;
      return m;
    }(),
    "ply", 0.015);
const Material wood = named(isotropic(3.5e9, 0.25, 750), "wood", 0.02);

MatchUnknown unknown(Kind kind, int material, const std::string &name, double low = 0.5, double high = 2) {
  MatchUnknown u;
  u.kind = kind;
  u.material = kind == Kind::bond_stiffness ? -1 : material;
  u.bond = kind == Kind::bond_stiffness ? name : "";
  u.name = name;
  u.low = low;
  u.high = high;
  return u;
}

MatchOptions to_match(double up_to) {
  MatchOptions o;
  o.solve = to(up_to, 2, 0.5);
  o.solve.damping = Damping::energy;
  return o;
}

VectorXd hertz_of(const Structure &s, const SolveOptions &options) {
  const Solved r = solve(s, options);
  VectorXd f(r.omegas.size());
  for (std::size_t i = 0; i < r.omegas.size(); ++i) f[i] = r.hertz(i);
  return f;
}

std::vector<HeardFrequency> heard_from(const VectorXd &f, int count, double noise, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  std::vector<HeardFrequency> heard;
  for (int i = 0; i < count; ++i) {
    HeardFrequency h;
    h.frequency = f[i] * std::exp(noise * normal(random));
    h.sd = noise;
    heard.push_back(h);
  }
  return heard;
}

void tell(const MatchResult &r) {
  if (!std::getenv("STILLBOX_TELL")) return;
  for (std::size_t k = 0; k < std::size_t(r.ln_factors.size()); ++k)
    std::printf("    factor %.4f +- %.4f\n", std::exp(r.ln_factors[k]), r.quality.standard_error[k]);
  for (const MatchRound &round : r.rounds)
    std::printf("    round: %d pairs, chi2 %.3f, difference %.2e\n", round.pairs, round.chi_squared, round.difference);
  for (const MatchedPair &p : r.pairs)
    std::printf("    heard %d: mode %d (was %d) %.2f -> %.2f%s\n", p.heard, p.mode, p.start_mode, p.before, p.after,
                p.has_rival ? " rival" : "");
  for (const std::string &note : r.notes) std::printf("    note: %s\n", note.c_str());
}

// A free orthotropic plate: three moduli from eight frequencies with 0.3 % of noise, from starts 20-35 % off.
TEST(MatchFit, FreeOrthotropicPlateGivesItsModuliBack) {
  const Structure start = free_plate(0.42, 0.30, 0.012, ply);
  const std::vector<MatchUnknown> unknowns{unknown(Kind::along_modulus, 0, "along"),
                                           unknown(Kind::across_modulus, 0, "across"),
                                           unknown(Kind::in_plane_shear, 0, "shear")};
  const Eigen::Vector3d truth(std::log(1.25), std::log(0.8), std::log(1.35));
  const MatchOptions options = to_match(1100);
  const VectorXd f = hertz_of(structure_with(start, unknowns, truth), options.solve);
  ASSERT_GE(f.size(), 8);
  int within = 0, all = 0;
  for (unsigned seed = 1; seed <= 5; ++seed) {
    MatchProblem problem{&start, unknowns, {}, heard_from(f, 8, 0.003, seed)};
    MatchOptions quiet = options;
    quiet.floor = 0;
    const MatchResult r = match_frequencies(problem, quiet);
    tell(r);
    EXPECT_TRUE(r.agrees);
    ASSERT_EQ(r.pairs.size(), 8u);
    for (const MatchedPair &p : r.pairs) EXPECT_EQ(p.mode, p.heard);
    for (int k = 0; k < 3; ++k) {
      const double off = (r.ln_factors[k] - truth[k]) / r.quality.standard_error[k];
      EXPECT_LT(std::abs(off), 3.5) << "seed " << seed << ", unknown " << k;
      within += std::abs(off) < 1;
      ++all;
      EXPECT_LT(r.quality.standard_error[k], 0.02);
    }
    EXPECT_LT(r.chi_squared_before, 1e6);
    EXPECT_GT(r.chi_squared_before, 50 * r.quality.chi_squared);
  }
  EXPECT_GE(within, all / 3);  // two thirds are expected; errors that are far too small would fail here
}

// Two boards on a bond: modulus and stiffness of the bond, the latter a factor of 4 off.
Structure two_boards() {
  Structure s = free_plate(0.3, 0.2, 0.012, wood);
  s.boards.push_back(make_rectangle("rib", {0, 0.106, 0.012}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitZ(), 0.3,
                                    0.06, 0.012, 0));
  s.bonds = {{"foot", 0, 1, 4e7, 2e7, 0.2}};
  return s;
}

TEST(MatchFit, ModulusAndBondOfTwoBoards) {
  const Structure start = two_boards();
  const std::vector<MatchUnknown> unknowns{unknown(Kind::modulus, 0, "modulus"),
                                           unknown(Kind::bond_stiffness, -1, "foot", 0.01, 100)};
  const Eigen::Vector2d truth(std::log(0.85), std::log(4.0));
  MatchOptions options = to_match(1600);
  const VectorXd f = hertz_of(structure_with(start, unknowns, truth), options.solve);
  ASSERT_GE(f.size(), 7);
  options.floor = 0.002;
  const MatchResult r = match_frequencies({&start, unknowns, {}, heard_from(f, 7, 0.002, 11)}, options);
  tell(r);
  EXPECT_TRUE(r.agrees);
  EXPECT_EQ(r.pairs.size(), 7u);
  for (int k = 0; k < 2; ++k) EXPECT_LT(std::abs(r.ln_factors[k] - truth[k]), 3 * r.quality.standard_error[k]) << k;
  EXPECT_LT(r.quality.standard_error[1], 0.5);
  EXPECT_FALSE(r.quality.misses());
}

// Of one material alone frequencies tell modulus over density, nothing more.
TEST(MatchFit, ModulusAndDensityCannotBeToldApart) {
  const Structure start = free_plate(0.4, 0.3, 0.012, wood);
  const std::vector<MatchUnknown> unknowns{unknown(Kind::modulus, 0, "modulus"), unknown(Kind::density, 0, "density")};
  const MatchOptions options = to_match(900);
  const VectorXd f = 1.1 * hertz_of(start, options.solve);
  const MatchResult r = match_frequencies({&start, unknowns, {}, heard_from(f, 5, 0.001, 2)}, options);
  tell(r);
  ASSERT_EQ(r.quality.blind.size(), 1u);
  const VectorXd blind = r.quality.blind[0].direction;
  EXPECT_NEAR(blind[0], std::sqrt(0.5), 1e-3);
  EXPECT_NEAR(blind[1], std::sqrt(0.5), 1e-3);
  EXPECT_GT(r.quality.correlation(0, 1), 0.99);
  EXPECT_FALSE(r.quality.is_determined[0]);
  EXPECT_FALSE(std::isfinite(r.quality.standard_error[0]));
  // The ratio is right all the same, and neither has run off.
  EXPECT_NEAR(r.ln_factors[0] - r.ln_factors[1], 2 * std::log(1.1), 5e-3);
  EXPECT_LT(r.ln_factors.cwiseAbs().maxCoeff(), 0.2);
}

TEST(MatchFit, ExtraAndMissedOnesAreLeftOut) {
  const Structure start = free_plate(0.42, 0.30, 0.012, ply);
  const std::vector<MatchUnknown> unknowns{unknown(Kind::modulus, 0, "modulus")};
  MatchOptions options = to_match(1100);
  options.floor = 0.003;
  const VectorXd f = hertz_of(structure_with(start, unknowns, VectorXd::Constant(1, std::log(1.2))), options.solve);
  std::vector<HeardFrequency> heard = heard_from(f, 8, 0.002, 4);
  heard.erase(heard.begin() + 2);  // not heard
  HeardFrequency stray;            // half-way between two modes: a hum, or the room
  stray.frequency = std::sqrt(f[4] * f[5]);
  stray.sd = 0.002;
  ASSERT_GT(f[5] / f[4], 1.04);
  heard.insert(heard.begin() + 4, stray);
  const MatchResult r = match_frequencies({&start, unknowns, {}, heard}, options);
  tell(r);
  EXPECT_EQ(r.extra, (std::vector<int>{4}));
  EXPECT_EQ(r.missed, (std::vector<int>{2}));
  EXPECT_NEAR(std::exp(r.ln_factors[0]), 1.2, 4 * 1.2 * r.quality.standard_error[0]);
}

// Bounds hold, and say so.
TEST(MatchFit, StopsAtABound) {
  const Structure start = free_plate(0.42, 0.30, 0.012, ply);
  const std::vector<MatchUnknown> unknowns{unknown(Kind::modulus, 0, "modulus", 0.9, 1.05)};
  const MatchOptions options = to_match(1100);
  const VectorXd f = 1.06 * hertz_of(start, options.solve);
  const MatchResult r = match_frequencies({&start, unknowns, {}, heard_from(f, 6, 0.001, 1)}, options);
  EXPECT_NEAR(std::exp(r.ln_factors[0]), 1.05, 1e-9);
  EXPECT_EQ(r.on_bound[0], 1);
  EXPECT_TRUE(r.quality.misses());
}

// Loss factors are a linear problem of their own; the bond's is found although the modulus moves.
TEST(MatchFit, LossFactorsOfWoodAndBond) {
  const Structure start = two_boards();
  Structure truth = start;
  truth.materials[0].loss_factor = 0.03;
  truth.bonds[0].loss_factor = 0.4;
  MatchOptions options = to_match(1600);
  const ModalResult heard_of = solve_modes(truth, options.solve);
  std::vector<HeardFrequency> heard;
  for (std::size_t i = 0; i < 7; ++i) {
    HeardFrequency h;
    h.frequency = heard_of.modes.at(i).frequency;
    h.sd = 0.002;
    h.loss = heard_of.modes[i].loss_factor;
    h.loss_sd = 0.02 * h.loss;
    heard.push_back(h);
  }
  LossUnknown of_wood, of_bond;
  of_wood.material = 0;
  of_wood.name = "loss factor of wood";
  of_wood.start = 0.02;
  of_bond.bond = "foot";
  of_bond.name = "loss factor of bond foot";
  of_bond.start = 0.2;
  options.loss_floor = 0;
  const MatchResult r =
      match_frequencies({&start, {unknown(Kind::modulus, 0, "modulus")}, {of_wood, of_bond}, heard}, options);
  EXPECT_NEAR(r.losses[0], 0.03, 0.001);
  EXPECT_NEAR(r.losses[1], 0.4, 0.02);
  EXPECT_LT(r.loss_quality.chi_squared, 1);
  for (const MatchedPair &p : r.pairs) EXPECT_NEAR(p.loss_after / heard[p.heard].loss, 1, 0.02);
}

// A named mode is taken at the user's word, a named wall decides between two that are equally near.
TEST(MatchFit, NamedModesAndWalls) {
  const Structure start = free_plate(0.42, 0.30, 0.012, ply);
  const MatchOptions options = to_match(1100);
  const VectorXd f = hertz_of(start, options.solve);
  std::vector<HeardFrequency> heard = heard_from(f, 3, 0.002, 4);
  heard[2].frequency = f[3] * 0.98;
  heard[2].mode = 3;
  const MatchResult r = match_frequencies({&start, {unknown(Kind::modulus, 0, "modulus")}, {}, heard}, options);
  ASSERT_EQ(r.pairs.size(), 3u);
  EXPECT_EQ(r.pairs[2].mode, 3);
  EXPECT_FALSE(r.pairs[2].has_rival);

  // Two plates that do not touch, of slightly different length; the lower frequency was heard on the shorter one, whose
  // computed one is the higher: only the named board can tell.
  Structure two = free_plate(0.40, 0.10, 0.012, wood);
  two.boards[0].name = "long";
  two.boards.push_back(
      make_rectangle("short", {0, 0.3, 0}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(), 0.39, 0.10, 0.012, 0));
  const VectorXd g = hertz_of(two, to_match(300).solve);
  ASSERT_GE(g.size(), 2);
  HeardFrequency one;
  one.frequency = g[0];
  one.sd = 0.001;
  for (int board : {0, 1}) {
    one.board = board;
    const MatchResult w = match_frequencies({&two, {unknown(Kind::modulus, 0, "modulus")}, {}, {one}}, to_match(300));
    ASSERT_EQ(w.pairs.size(), 1u);
    EXPECT_EQ(w.pairs[0].mode, board);
  }
}

}  // namespace
}  // namespace stillbox
