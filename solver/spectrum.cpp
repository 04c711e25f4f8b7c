// SPDX-License-Identifier: MIT
#include <chrono>
#include <cmath>

#include "solver/blas_threads.h"
#include "solver/combined_columns.h"
#include "solver/element_entry.h"
#include "solver/free_motions.h"
#include "solver/freed_memory.h"
#include "solver/lapack.h"
#include "solver/modes.h"
#include "solver/parked_matrix.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

// See free_motions.
Eigen::MatrixXd rigid_motions(const Model &m, double &small) {
  const Eigen::MatrixXd Z = whole_motions(m.unknowns, m.discretisation);
  const auto terms = [&](const Eigen::MatrixXd &columns) {
    const Eigen::MatrixXd motions = columns.transpose();
    Eigen::VectorXd sums = Eigen::VectorXd::Zero(motions.rows());
    for (int r = 0; r < m.system.stiffness.rows(); ++r)
      for (SparseMatrix::InnerIterator it(m.system.stiffness, r); it; ++it)
        sums += (it.col() == r ? 1 : 2) * std::abs(it.value()) * motions.col(r).cwiseProduct(motions.col(it.col()));
    return sums;
  };
  return free_motions(Z, Z.transpose() * multiply(m.system.stiffness, Z), Z.transpose() * multiply(m.system.mass, Z),
                      terms, small);
}

// a += factor b for lower triangles where the pattern of b is part of that of a; in place, as a copy of the stiffness
// would be one of the largest things in memory.
void add_scaled(SparseMatrix &a, const SparseMatrix &b, double factor) {
  for (int r = 0; r < a.rows(); ++r) {
    SparseMatrix::InnerIterator at(a, r);
    for (SparseMatrix::InnerIterator it(b, r); it; ++it) {
      while (at.col() != it.col()) ++at;
      at.valueRef() += factor * it.value();
    }
  }
}

// The factor of K - shift M. The mass matrix is back afterwards, the stiffness is gone.
std::unique_ptr<SparseFactor> factor_without_stiffness(Model &m, double shift) {
  ParkedMatrix mass(m.system.mass);
  add_scaled(m.system.stiffness, m.system.mass, -shift);
  SparseMatrix shifted;
  shifted.swap(m.system.stiffness);
  SparseMatrix().swap(m.system.mass);
  const std::vector<int> &inner = m.unknowns.inner_start, &blocks = m.unknowns.block_start;
  auto factor = std::make_unique<SparseFactor>(shifted, dissection_order(m.system, blocks, inner.front()), inner, true,
                                               unknowns_of_blocks(m.system.cells, blocks, inner.front()));
  mass.take(m.system.mass);
  return factor;
}

// Makes the pairs the best within their span and returns their residuals. The eigenvalues of the shifted inverse lose
// digits of the lowest modes where thin stiff layers make K's largest entries very large.
Eigen::VectorXd rayleigh_ritz(const System &system, EigenPairs &e) {
  const Eigen::Index modes = e.values.size();
  constexpr Eigen::Index columns_at_once = 8;  // a whole product is as large as the vectors are
  Eigen::MatrixXd K(modes, modes), M(modes, modes);
  for (Eigen::Index i = 0; i < modes; i += columns_at_once) {
    const Eigen::Index count = std::min(columns_at_once, modes - i);
    K.middleCols(i, count) = e.vectors.transpose() * multiply(system.stiffness, e.vectors.middleCols(i, count));
    M.middleCols(i, count) = e.vectors.transpose() * multiply(system.mass, e.vectors.middleCols(i, count));
  }
  Eigen::VectorXd residuals(modes);
  if (modes == 0) return residuals;
  const SymmetricPairs solver = symmetric_eigenpairs(K, M);
  e.values = solver.values;
  combine_in_place(e.vectors, 0, solver.vectors);
  for (Eigen::Index i = 0; i < modes; i += columns_at_once) {
    const Eigen::Index count = std::min(columns_at_once, modes - i);
    const Eigen::MatrixXd Kx = multiply(system.stiffness, e.vectors.middleCols(i, count)),
                          Mx = multiply(system.mass, e.vectors.middleCols(i, count));
    for (Eigen::Index k = 0; k < count; ++k)
      residuals[i + k] = (Kx.col(k) - e.values[i + k] * Mx.col(k)).norm() / (e.values[i + k] * Mx.col(k).norm());
  }
  return residuals;
}

}  // namespace

std::unique_ptr<SparseFactor> factor_shifted(Model &m, double shift) {
  ParkedMatrix stiffness(m.system.stiffness);
  auto factor = factor_without_stiffness(m, shift);
  stiffness.take(m.system.stiffness);
  return factor;
}

void set_rigid_apart(Spectrum &spectrum, const Eigen::MatrixXd &rigid, double small) {
  EigenPairs &e = spectrum.elastic;
  int loose = 0;
  while (loose < e.values.size() && e.values[loose] < small) ++loose;
  spectrum.rigid = int(rigid.cols());
  spectrum.rigid_motions = rigid;
  if (loose == 0) return;
  spectrum.rigid += loose;
  spectrum.rigid_motions.conservativeResize(Eigen::NoChange, spectrum.rigid);
  spectrum.rigid_motions.rightCols(loose) = e.vectors.leftCols(loose);
  e.values = e.values.tail(e.values.size() - loose).eval();
  e.vectors = e.vectors.rightCols(e.values.size()).eval();
}

Spectrum solve_spectrum(Model &m, const SolveOptions &options, SolveReport &report, const SpectrumExtras &extras) {
  Spectrum spectrum;
  Stopwatch watch;
  const double omega = 2 * M_PI * options.up_to;
  const double shift = omega * omega;
  double small = 1e-8 * shift;
  const Eigen::MatrixXd rigid = rigid_motions(m, small);
  if (options.progress) options.progress("factorising " + std::to_string(m.unknowns.count) + " unknowns");
  ParkedMatrix stiffness(m.system.stiffness);
  auto kept = factor_without_stiffness(m, shift);
  const SparseFactor &factor = *kept;
  report.seconds_factorise += watch.lap();
  const OneBlasThread one_thread;
  spectrum.counted_below = factor.negatives();
  LanczosOptions lanczos;
  lanczos.most_above = extras.most_above;
  if (options.progress)
    lanczos.progress = [&](int converged, int wanted) {
      options.progress("modes: " + std::to_string(converged) + " of " + std::to_string(wanted));
    };
  const int wanted = spectrum.counted_below - int(rigid.cols());
  if (wanted < 0) throw SolveError("fewer modes than rigid motions below the top frequency; raise it");
  MassProduct mass_product = make_mass_product(m.system.mass);
  ParkedMatrix mass(m.system.mass);
  SparseMatrix().swap(m.system.mass);
  spectrum.elastic = block_lanczos(mass_product, factor, shift, wanted, rigid, lanczos);

  if (extras.factor)
    spectrum.factor = std::move(kept);
  else
    kept.reset();
  mass_product = {};
  give_back_freed_memory();  // of the many small blocks that condense took out
  stiffness.take(m.system.stiffness);
  mass.take(m.system.mass);

  EigenPairs &e = spectrum.elastic;
  set_rigid_apart(spectrum, rigid, small);
  spectrum.residuals = rayleigh_ritz(m.system, e);
  settle_signs(e.vectors);
  report.seconds_eigen += watch.lap();
  report.rigid_modes = spectrum.rigid;
  report.counted_below = spectrum.counted_below;
  return spectrum;
}

}  // namespace stillbox
