// SPDX-License-Identifier: MIT
// The eigenproblem itself: what the solver returns is checked against K and M and against a dense solver.
#include <Eigen/Eigenvalues>

#include "solver/condense.h"
#include "solver/lapack.h"
#include "tests/solver/plates.h"

namespace stillbox {
namespace {

Eigen::MatrixXd dense(const SparseMatrix &lower) {
  return multiply(lower, Eigen::MatrixXd::Identity(lower.rows(), lower.rows()));
}

/// A small board with everything: a rectangular hole with a rigid driver, another with mass on its rim, an area mass, a
/// point mass, and two feet when asked for.
Structure loaded_board(bool feet) {
  Structure s = free_plate(0.3, 0.2, 0.02, isotropic(3e9, 0.3, 700));
  s.boards[0].cut_outs = {{"driver", CutOutShape::rectangle, {0.09, 0.1}, 0.1, 0.1, false},
                          {"port", CutOutShape::rectangle, {0.24, 0.1}, 0.06, 0.07, false}};
  s.rim_masses = {{"driver", 0, 0, 1.2, true, 0.03, {0.002, 0.0025, 0.003}}, {"tube", 0, 1, 0.1, false, 0, {0, 0, 0}}};
  s.area_masses = {{"pad", 0, true, {0.16, 0.03}, {0.2, 0.17}, 0.2}};
  s.point_masses = {{"lug", 0, false, {0.01, 0.19}, 0.05}};
  if (feet) s.feet = {{"a", 0, false, {0.02, 0.02}, {2e4, 3e4, 5e4}}, {"b", 0, false, {0.28, 0.18}, {2e4, 3e4, 5e4}}};
  return s;
}

SolveOptions coarse(double up_to, int degree = 2) {
  SolveOptions options;
  options.up_to = up_to;
  options.degree = degree;
  return options;
}

// LAPACK's dense solver reduces the same K, M by Cholesky and divide and conquer: nothing in common with the sparse
// path.
TEST(Spectrum, AgreesWithADenseSolver) {
  for (bool feet : {false, true}) {
    const Structure s = loaded_board(feet);
    const Solved r =
        solve(s, coarse(4000, 1));  // linear elements: far off, but small, and algebra is the question here
    ASSERT_LT(r.report.dofs, 2000);
    const SymmetricPairs check = symmetric_eigenpairs(dense(r.model.system.stiffness), dense(r.model.system.mass));
    const double top = std::pow(2 * M_PI * 4000, 2);
    const int below = int((check.values.array() < top).count());
    EXPECT_EQ(r.spectrum.counted_below, below);
    ASSERT_EQ(r.spectrum.rigid + int(r.omegas.size()), below);
    ASSERT_GE(r.omegas.size(), 4u);
    // Two point feet leave one motion free: turning about the line through them.
    EXPECT_EQ(r.spectrum.rigid, feet ? 1 : 6);
    for (std::size_t i = 0; i < r.omegas.size(); ++i)
      EXPECT_NEAR(r.spectrum.elastic.values[i] / check.values[r.spectrum.rigid + i], 1, 1e-7) << i;
  }
}

// A block on a mesh too coarse for the frequency: the unknowns of single cells (those on free faces, too), condensed
// first, then have modes below the shift themselves. All of them must be counted (LAPACK's dense solver).
TEST(Spectrum, CountsModesWithinSingleCells) {
  const Structure s = free_plate(0.4, 0.2, 0.06, isotropic(3e9, 0.3, 700));
  SolveReport report;
  Model m = build_model(s, coarse(1000, 3), report);
  ASSERT_LT(m.unknowns.count, 2000);
  const SymmetricPairs check = symmetric_eigenpairs(dense(m.system.stiffness), dense(m.system.mass));
  for (const double top : {1e3, 5e3, 40e3}) {
    const double shift = std::pow(2 * M_PI * top, 2);
    SparseMatrix shifted = m.system.stiffness - SparseMatrix(shift * m.system.mass);
    int within_cells = 0;
    condense(shifted, m.unknowns.inner_start, within_cells);
    EXPECT_EQ(within_cells > 0, top > 2e3);
    EXPECT_EQ(factor_shifted(m, shift)->negatives(), int((check.values.array() < shift).count())) << top;
  }
}

TEST(Spectrum, VectorsAreMassOrthonormalAndResidualsSmall) {
  for (bool feet : {false, true}) {
    const Structure s = loaded_board(feet);
    const Solved r = solve(s, coarse(2500, 3));
    const Eigen::MatrixXd &X = r.spectrum.elastic.vectors;
    const Eigen::MatrixXd gram = X.transpose() * multiply(r.model.system.mass, X);
    ASSERT_GE(X.cols(), 8);
    EXPECT_LT((gram - Eigen::MatrixXd::Identity(X.cols(), X.cols())).cwiseAbs().maxCoeff(), 1e-8);
    const Eigen::MatrixXd KX = multiply(r.model.system.stiffness, X), MX = multiply(r.model.system.mass, X);
    for (int i = 0; i < X.cols(); ++i) {
      const double lambda = r.spectrum.elastic.values[i];
      const double residual = (KX.col(i) - lambda * MX.col(i)).norm() / (lambda * MX.col(i).norm());
      // Relative to lambda |M x| rounding weighs most where lambda is small against the stiffest motions of the mesh.
      EXPECT_LT(residual, lambda > std::pow(2 * M_PI * 1000, 2) ? 1e-6 : 1e-5) << i;
      EXPECT_NEAR(r.spectrum.residuals[i], residual, 1e-9);
      EXPECT_GT(lambda, i > 0 ? r.spectrum.elastic.values[i - 1] * (1 - 1e-12) : 0);
    }
    EXPECT_EQ(r.spectrum.counted_below, r.spectrum.rigid + int(X.cols()));
  }
}

// A stiff plate that sways on soft feet, far below the top frequency: what Lanczos's vectors still lack weighs most
// there, against lambda |M x|. Nothing is to be left but rounding, 2^-53 | |K| |x| | for each of some operations: of K
// x itself, and of the solution with the factor. Here it is 12 times that.
TEST(Spectrum, SwayingOnSoftFeetHasSmallResiduals) {
  Structure s = free_plate(0.3, 0.2, 0.02, isotropic(70e9, 0.33, 2700));
  for (const double x : {0.02, 0.28})
    for (const double y : {0.02, 0.18}) s.feet.push_back({"foot", 0, false, {x, y}, {2e3, 3e3, 4e3}});
  const Solved r = solve(s, coarse(2500, 3));
  ASSERT_EQ(r.spectrum.rigid, 0);
  ASSERT_GE(r.omegas.size(), 8u);
  EXPECT_LT(r.omegas[0], 2 * M_PI * 10);
  for (int i = 0; i < r.spectrum.elastic.vectors.cols(); ++i) {
    const Eigen::VectorXd x = r.spectrum.elastic.vectors.col(i);
    const double scale = r.spectrum.elastic.values[i] * multiply(r.model.system.mass, x).norm();
    const SparseMatrix sizes = r.model.system.stiffness.cwiseAbs();
    const double rounding = std::ldexp(multiply(sizes, x.cwiseAbs()).norm(), -53) / scale;
    EXPECT_LT(r.spectrum.residuals[i], 30 * rounding) << i;
  }
}

// Elastic modes of a free body carry no momentum: they are M-orthogonal to every rigid motion.
TEST(Spectrum, ElasticModesOfAFreeBodyCarryNoMomentum) {
  const Structure s = loaded_board(false);
  const Solved r = solve(s, coarse(1500));
  const Eigen::MatrixXd MX = multiply(r.model.system.mass, r.spectrum.elastic.vectors);
  for (int k = 0; k < 3; ++k) {
    const Eigen::VectorXd shift = restrict_rigid(r.model.unknowns, r.model.discretisation, Eigen::Vector3d::Unit(k),
                                                 Eigen::Vector3d::Zero(), Eigen::Vector3d::Zero());
    const double mass = shift.dot(multiply(r.model.system.mass, shift).col(0));
    EXPECT_LT((shift.transpose() * MX).cwiseAbs().maxCoeff() / std::sqrt(mass), 1e-6);
  }
}

// More modes asked for: the ones found before stay what they were.
TEST(Spectrum, AHigherLimitOnlyAddsModes) {
  const Structure s = loaded_board(false);
  SolveReport report;
  Model m = build_model(s, coarse(2000), report);
  const Spectrum low = solve_spectrum(m, coarse(1000), report), high = solve_spectrum(m, coarse(2000), report);
  ASSERT_GE(low.elastic.values.size(), 3);
  ASSERT_GT(high.elastic.values.size(), low.elastic.values.size());
  for (int i = 0; i < low.elastic.values.size(); ++i)
    EXPECT_NEAR(high.elastic.values[i] / low.elastic.values[i], 1, 1e-8);
  EXPECT_LT(low.elastic.values[low.elastic.values.size() - 1], std::pow(2 * M_PI * 1000, 2));
  EXPECT_GT(high.elastic.values[low.elastic.values.size()], std::pow(2 * M_PI * 1000, 2));
}

// Same mesh and numbers twice: the answer is reproducible to the last bits that matter.
TEST(Spectrum, RepeatsItself) {
  const Structure s = loaded_board(true);
  const Solved a = solve(s, coarse(1000)), b = solve(s, coarse(1000));
  ASSERT_EQ(a.omegas.size(), b.omegas.size());
  ASSERT_FALSE(a.omegas.empty());
  for (std::size_t i = 0; i < a.omegas.size(); ++i) EXPECT_NEAR(a.omegas[i] / b.omegas[i], 1, 1e-10);
}

}  // namespace
}  // namespace stillbox
