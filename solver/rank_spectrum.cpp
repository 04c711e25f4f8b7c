// SPDX-License-Identifier: MIT
#include "solver/rank_spectrum.h"

#include <slepceps.h>

#include <cmath>

#include "solver/free_motions.h"
#include "solver/rank_matrices.h"
#include "solver/ranks.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

using HeldTransform = Held<ST, STDestroy>;
using HeldSolver = Held<EPS, EPSDestroy>;

void sum_over_ranks(double *values, Eigen::Index count) {
  MPI_Allreduce(MPI_IN_PLACE, values, int(count), MPI_DOUBLE, MPI_SUM, PETSC_COMM_WORLD);
}

// The own rows of a vector over all ranks.
Eigen::VectorXd own_part(Vec x) {
  PetscInt n = 0;
  const PetscScalar *values = nullptr;
  must(VecGetLocalSize(x, &n));
  must(VecGetArrayRead(x, &values));
  const Eigen::VectorXd own = Eigen::Map<const Eigen::VectorXd>(values, n);
  must(VecRestoreArrayRead(x, &values));
  return own;
}

void set_own_part(Vec x, const Eigen::VectorXd &own) {
  PetscScalar *values = nullptr;
  must(VecGetArray(x, &values));
  Eigen::Map<Eigen::VectorXd>(values, own.size()) = own;
  must(VecRestoreArray(x, &values));
}

Eigen::VectorXd own_rows(const RankRows &rows, const Eigen::VectorXd &x) {
  Eigen::VectorXd own(Eigen::Index(rows.own.size()));
  for (std::size_t i = 0; i < rows.own.size(); ++i) own[Eigen::Index(i)] = x[rows.own[i]];
  return own;
}

// Z' A Z for columns of which all ranks know all rows.
Eigen::MatrixXd projected(const RankRows &rows, Mat A, const Eigen::MatrixXd &Z) {
  HeldVector x, y;
  must(MatCreateVecs(A, &x.object, &y.object));
  Eigen::MatrixXd own(Eigen::Index(rows.own.size()), Z.cols()), products(own.rows(), Z.cols());
  for (Eigen::Index k = 0; k < Z.cols(); ++k) {
    own.col(k) = own_rows(rows, Z.col(k));
    set_own_part(x, own.col(k));
    must(MatMult(A, x, y));
    products.col(k) = own_part(y);
  }
  Eigen::MatrixXd result = own.transpose() * products;
  sum_over_ranks(result.data(), result.size());
  return result;
}

// See free_motions.
Eigen::VectorXd sizes_of_terms(const RankMatrices &m, const Eigen::MatrixXd &columns) {
  std::vector<int> unknown_at(m.rows.row_of.size());
  for (std::size_t i = 0; i < unknown_at.size(); ++i) unknown_at[m.rows.row_of[i]] = int(i);
  const Eigen::MatrixXd motions = columns.transpose();
  Eigen::VectorXd sums = Eigen::VectorXd::Zero(motions.rows());
  must(MatGetRowUpperTriangular(m.stiffness));
  for (std::size_t i = 0; i < m.rows.own.size(); ++i) {
    const PetscInt row = m.rows.first + PetscInt(i);
    PetscInt count = 0;
    const PetscInt *column = nullptr;
    const PetscScalar *value = nullptr;
    must(MatGetRow(m.stiffness, row, &count, &column, &value));
    for (PetscInt k = 0; k < count; ++k)
      sums += (column[k] == row ? 1 : 2) * std::abs(value[k]) *
              motions.col(m.rows.own[i]).cwiseProduct(motions.col(unknown_at[column[k]]));
    must(MatRestoreRow(m.stiffness, row, &count, &column, &value));
  }
  must(MatRestoreRowUpperTriangular(m.stiffness));
  sum_over_ranks(sums.data(), sums.size());
  return sums;
}

// Adds a multiple of M to K in place, as a copy would be the largest matrix there is. (SLEPc's own way of doing that
// shifts K twice when its transformation is used before its solver.)
void add_mass_to_stiffness(const RankMatrices &m, double factor) {
  must(MatAXPY(m.stiffness, factor, m.mass, SUBSET_NONZERO_PATTERN));
}

// A^-1 M with the factor by MUMPS of A, which is K - shift M.
void make_transform(const RankMatrices &m, ST *st) {
  // Of MUMPS: a count of negative pivots wants the last part on one process and null pivots told; more spare room, as
  // it does not try again; METIS; the matrix as it is (see take_matrix_as_it_is).
  must(PetscOptionsInsertString(
      nullptr,
      "-st_mat_mumps_icntl_13 1 -st_mat_mumps_icntl_24 1 -st_mat_mumps_icntl_14 60 -st_mat_mumps_icntl_7 5 "
      "-st_mat_mumps_icntl_6 0 -st_mat_mumps_icntl_8 0"));
  Mat both[2] = {m.stiffness, m.mass};
  must(STCreate(PETSC_COMM_WORLD, st));
  must(STSetMatrices(*st, 2, both));
  must(STSetType(*st, STSINVERT));
  must(STSetMatMode(*st, ST_MATMODE_INPLACE));
  must(STSetShift(*st, 0));
  KSP solver = nullptr;
  PC factor = nullptr;
  must(STGetKSP(*st, &solver));
  must(KSPSetType(solver, KSPPREONLY));
  must(KSPGetPC(solver, &factor));
  must(PCSetType(factor, PCCHOLESKY));
  must(PCFactorSetMatSolverType(factor, MATSOLVERMUMPS));
  must(STSetFromOptions(*st));
  must(STSetUp(*st));
  Mat operation = nullptr;  // gives the solver its matrix
  must(STGetOperator(*st, &operation));
  must(STRestoreOperator(*st, &operation));
  must(KSPSetUp(solver));  // the factorisation
}

int negatives_of(ST st) {
  KSP solver = nullptr;
  PC pc = nullptr;
  Mat factor = nullptr;
  PetscInt negative = 0, zero = 0, positive = 0;
  must(STGetKSP(st, &solver));
  must(KSPGetPC(solver, &pc));
  must(PCFactorGetMatrix(pc, &factor));
  must(MatGetInertia(factor, &negative, &zero, &positive));
  if (zero > 0)
    throw SolveError("the matrix is singular: a part moves without resistance at the chosen frequency limit");
  return int(negative);
}

// Of A x = mu M x the negative mu first, the nearest to 0 before others.
PetscErrorCode negative_first(PetscScalar a, PetscScalar, PetscScalar b, PetscScalar, PetscInt *result, void *) {
  if ((a < 0) != (b < 0))
    *result = a < 0 ? -1 : 1;
  else
    *result = std::abs(a) < std::abs(b) ? -1 : std::abs(a) > std::abs(b);
  return 0;
}

// Adds to `found` the modes below the shift that one run of SLEPc finds besides `known` and those; returns how many.
int find_modes(ST st, int wanted, const std::vector<Vec> &known, std::vector<HeldVector> &found,
               std::size_t &number_found, const RankMatrices &m) {
  HeldSolver held;
  must(EPSCreate(PETSC_COMM_WORLD, &held.object));
  const EPS eps = held.object;
  must(EPSSetST(eps, st));
  must(EPSSetProblemType(eps, EPS_GHEP));
  must(EPSSetType(eps, EPSKRYLOVSCHUR));
  must(EPSSetWhichEigenpairs(eps, EPS_WHICH_USER));
  must(EPSSetEigenvalueComparison(eps, negative_first, nullptr));
  must(EPSSetTarget(eps, 0));
  must(EPSSetConvergenceTest(eps, EPS_CONV_REL));  // of the transformed problem
  must(EPSSetTolerances(eps, 1e-10, 1000));
  PetscInt unknowns = 0;
  must(MatGetSize(m.stiffness, &unknowns, nullptr));
  const int room = int(unknowns) - int(known.size());
  must(EPSSetDimensions(eps, wanted, std::min(room, 2 * wanted + 60), PETSC_DEFAULT));
  std::vector<Vec> apart(known);
  for (std::size_t i = 0; i < number_found; ++i) apart.push_back(found[i]);
  if (!apart.empty()) must(EPSSetDeflationSpace(eps, PetscInt(apart.size()), apart.data()));
  must(EPSSolve(eps));
  PetscInt converged = 0;
  must(EPSGetConverged(eps, &converged));
  int more = 0;
  for (PetscInt i = 0; i < converged && more < wanted; ++i) {
    PetscScalar value = 0;
    must(EPSGetEigenvalue(eps, i, &value, nullptr));
    if (value >= 0) continue;
    Vec *x = &found[number_found].object;
    must(MatCreateVecs(m.stiffness, x, nullptr));
    must(EPSGetEigenvector(eps, i, *x, nullptr));
    ++number_found;
    ++more;
  }
  return more;
}

// Rayleigh quotients and residuals; the vectors get x' M x = 1.
void judge(const RankMatrices &m, const std::vector<HeldVector> &found, Eigen::VectorXd &values,
           Eigen::VectorXd &residuals) {
  HeldVector Kx, Mx;
  must(MatCreateVecs(m.stiffness, &Kx.object, &Mx.object));
  for (std::size_t i = 0; i < found.size(); ++i) {
    PetscScalar strain = 0, kinetic = 0;
    PetscReal rest = 0, size = 0;
    must(MatMult(m.stiffness, found[i], Kx));
    must(MatMult(m.mass, found[i], Mx));
    must(VecDot(found[i], Kx, &strain));
    must(VecDot(found[i], Mx, &kinetic));
    must(VecScale(found[i], 1 / std::sqrt(kinetic)));
    const double value = strain / kinetic;
    must(VecAXPY(Kx, -value, Mx));
    must(VecNorm(Kx, NORM_2, &rest));
    must(VecNorm(Mx, NORM_2, &size));
    values[Eigen::Index(i)] = value;
    residuals[Eigen::Index(i)] = rest / (std::abs(value) * size);
  }
}

// On the first rank a vector with all rows in the order of the unknowns, elsewhere none.
Eigen::VectorXd gathered(const RankRows &rows, Vec x) {
  const Eigen::VectorXd own = own_part(x);
  const int ranks = rank_count(), count = int(own.size());
  std::vector<int> counts(ranks), starts(ranks);
  MPI_Gather(&count, 1, MPI_INT, counts.data(), 1, MPI_INT, 0, PETSC_COMM_WORLD);
  for (int r = 1; r < ranks; ++r) starts[r] = starts[r - 1] + counts[r - 1];
  Eigen::VectorXd by_row(own_rank() == 0 ? Eigen::Index(rows.row_of.size()) : 0), all(by_row.size());
  MPI_Gatherv(own.data(), count, MPI_DOUBLE, by_row.data(), counts.data(), starts.data(), MPI_DOUBLE, 0,
              PETSC_COMM_WORLD);
  for (Eigen::Index i = 0; i < all.size(); ++i) all[i] = by_row[rows.row_of[i]];
  return all;
}

EigenPairs sorted_pairs(const RankMatrices &m, const std::vector<HeldVector> &found, Eigen::VectorXd &residuals) {
  const Eigen::Index modes = Eigen::Index(found.size());
  Eigen::VectorXd values(modes), rest(modes);
  judge(m, found, values, rest);
  std::vector<Eigen::Index> order(found.size());
  for (Eigen::Index i = 0; i < modes; ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) { return values[a] < values[b]; });
  EigenPairs pairs;
  pairs.values.resize(modes);
  residuals.resize(modes);
  const Eigen::Index unknowns = own_rank() == 0 ? Eigen::Index(m.rows.row_of.size()) : 0;
  pairs.vectors.resize(unknowns, modes);
  pairs.above.resize(unknowns, 0);
  for (Eigen::Index i = 0; i < modes; ++i) {
    pairs.values[i] = values[order[i]];
    residuals[i] = rest[order[i]];
    pairs.vectors.col(i) = gathered(m.rows, found[order[i]]);
  }
  return pairs;
}

}  // namespace

Spectrum solve_spectrum_on_ranks(Model &model, const SolveOptions &options, SolveReport &report) {
  if (model.structure->solids)
    throw SolveError("cabinets by [shape] or [solids] are solved by one process; start stillbox without mpirun");
  Stopwatch watch;
  RankMatrices m;
  if (options.progress) options.progress("assembling " + std::to_string(model.unknowns.count) + " unknowns");
  assemble_on_ranks(model, m, model.system);
  report.seconds_assemble += watch.lap();
  report_system(model, options, report);

  const double omega = 2 * M_PI * options.up_to;
  const double shift = omega * omega;
  double small = 1e-8 * shift;
  const Eigen::MatrixXd Z = whole_motions(model.unknowns, model.discretisation);
  const Eigen::MatrixXd rigid = free_motions(
      Z, projected(m.rows, m.stiffness, Z), projected(m.rows, m.mass, Z),
      [&](const Eigen::MatrixXd &columns) { return sizes_of_terms(m, columns); }, small);
  std::vector<HeldVector> motions(std::size_t(rigid.cols()));
  std::vector<Vec> known;
  for (Eigen::Index k = 0; k < rigid.cols(); ++k) {
    must(MatCreateVecs(m.stiffness, &motions[k].object, nullptr));
    set_own_part(motions[k], own_rows(m.rows, rigid.col(k)));
    known.push_back(motions[k]);
  }

  if (options.progress) options.progress("factorising " + std::to_string(model.unknowns.count) + " unknowns");
  HeldTransform transform;
  add_mass_to_stiffness(m, -shift);
  make_transform(m, &transform.object);
  Spectrum spectrum;
  spectrum.counted_below = negatives_of(transform);
  report.seconds_factorise += watch.lap();
  const int wanted = spectrum.counted_below - int(rigid.cols());
  if (wanted < 0) throw SolveError("fewer modes than rigid motions below the top frequency; raise it");
  if (options.progress) options.progress("modes: " + std::to_string(wanted));
  std::vector<HeldVector> found(static_cast<std::size_t>(wanted));
  std::size_t number = 0;
  // Of exactly equal frequencies one run may find one only: the next, kept apart from what is found, finds the others.
  while (int(number) < wanted)
    if (find_modes(transform, wanted - int(number), known, found, number, m) == 0)
      throw SolveError("only " + std::to_string(number) + " of " + std::to_string(wanted) +
                       " modes converged; lower the top frequency");
  must(STDestroy(&transform.object));  // the factor
  add_mass_to_stiffness(m, shift);
  spectrum.elastic = sorted_pairs(m, found, spectrum.residuals);
  set_rigid_apart(spectrum, own_rank() == 0 ? rigid : Eigen::MatrixXd(0, rigid.cols()), small);
  spectrum.residuals = spectrum.residuals.tail(spectrum.elastic.values.size()).eval();
  settle_signs(spectrum.elastic.vectors);
  report.seconds_eigen += watch.lap();
  report.rigid_modes = spectrum.rigid;
  report.counted_below = spectrum.counted_below;
  return spectrum;
}

}  // namespace stillbox
