// SPDX-License-Identifier: MIT
#include "solver/sparse_factor.h"

#include <dmumps_c.h>
#include <metis.h>
#include <mpi.h>

#include <cstdlib>
#include <numeric>

namespace stillbox {
namespace {

constexpr int use_comm_world = -987654;  // MUMPS's own constant for MPI_COMM_WORLD

// MUMPS of Debian is built on MPI; one process is enough here.
void start_mpi() {
  static const bool started = [] {
    int ready = 0;
    MPI_Initialized(&ready);
    if (!ready) {
      setenv("OMPI_MCA_btl", "self", 0);  // one process needs no network
      setenv("OMPI_MCA_plm_rsh_agent", "", 0);
      MPI_Init(nullptr, nullptr);
      std::atexit([] {
        int done = 0;
        MPI_Finalized(&done);
        if (!done) MPI_Finalize();
      });
    }
    return true;
  }();
  (void)started;
}

}  // namespace

std::vector<int> dissection_order(const System &system, const std::vector<int> &block_start) {
  idx_t blocks = idx_t(system.block_neighbours.size());
  std::vector<std::vector<idx_t>> adjacent(blocks);
  for (idx_t b = 0; b < blocks; ++b)
    for (int other : system.block_neighbours[b])
      if (other != b) {
        adjacent[b].push_back(other);
        adjacent[other].push_back(b);
      }
  std::vector<idx_t> start{0}, list, weight;
  for (idx_t b = 0; b < blocks; ++b) {
    list.insert(list.end(), adjacent[b].begin(), adjacent[b].end());
    start.push_back(idx_t(list.size()));
    weight.push_back(block_start[b + 1] - block_start[b]);
  }
  std::vector<idx_t> permutation(blocks), place(blocks);
  idx_t options[METIS_NOPTIONS];
  METIS_SetDefaultOptions(options);
  options[METIS_OPTION_SEED] = 1;
  if (METIS_NodeND(&blocks, start.data(), list.data(), weight.data(), options, permutation.data(), place.data()) !=
      METIS_OK)
    std::iota(permutation.begin(), permutation.end(), 0);
  std::vector<int> order(block_start[blocks]);
  int next = 0;
  for (idx_t i = 0; i < blocks; ++i)
    for (int k = block_start[permutation[i]]; k < block_start[permutation[i] + 1]; ++k) order[k] = next++;
  return order;
}

struct SparseFactor::Instance {
  DMUMPS_STRUC_C id{};
  std::vector<int> rows, columns, order;

  void call(int job) {
    id.job = job;
    dmumps_c(&id);
    check();
  }

  void check() const {
    if (id.infog[0] < 0) {
      const int code = id.infog[0];
      std::string why = "the sparse factorisation failed (MUMPS code " + std::to_string(code) + ")";
      if (code == -10) why = "the matrix is singular: a part moves without resistance at the chosen frequency limit";
      if (code == -13 || code == -9 || code == -8 || code == -17 || code == -20)
        why = "not enough memory for the sparse factorisation; lower the fineness or the top frequency";
      throw SolveError(why);
    }
  }
};

SparseFactor::SparseFactor(const SparseMatrix &lower, const std::vector<int> &order)
    : instance_(std::make_unique<Instance>()) {
  start_mpi();
  Instance &m = *instance_;
  m.id.comm_fortran = use_comm_world;
  m.id.par = 1;
  m.id.sym = 2;
  m.call(-1);
  auto *icntl = m.id.icntl;
  icntl[0] = icntl[1] = icntl[2] = -1;  // no printing
  icntl[3] = 0;
  icntl[5] = 0;    // no maximum transversal
  icntl[7] = 0;    // no scaling: it would change nothing in the inertia but costs time
  icntl[11] = 1;   // keep the given order
  icntl[13] = 20;  // per cent of spare work space
  icntl[6] = 1;    // order given

  const int n = int(lower.rows());
  m.rows.reserve(lower.nonZeros());
  m.columns.reserve(lower.nonZeros());
  for (int r = 0; r < n; ++r)
    for (SparseMatrix::InnerIterator it(lower, r); it; ++it) {
      m.rows.push_back(r + 1);
      m.columns.push_back(int(it.col()) + 1);
    }
  for (int place : order) m.order.push_back(place + 1);
  m.id.n = n;
  m.id.nnz = lower.nonZeros();
  m.id.irn = m.rows.data();
  m.id.jcn = m.columns.data();
  m.id.a = const_cast<double *>(lower.valuePtr());  // MUMPS only reads it
  static_assert(sizeof(MUMPS_INT) == sizeof(int), "MUMPS with 64-bit integers needs index vectors of its own");
  m.id.perm_in = m.order.data();
  m.call(1);
  // Work space runs short when pivots are put off; give more and try again.
  for (;; icntl[13] *= 2) {
    m.id.job = 2;
    dmumps_c(&m.id);
    const int code = m.id.infog[0];
    if ((code != -8 && code != -9) || icntl[13] > 300) break;
  }
  m.check();
  // The matrix itself is not needed for the solves. (Assigning {} would keep the memory.)
  std::vector<int>().swap(m.rows);
  std::vector<int>().swap(m.columns);
}

SparseFactor::~SparseFactor() {
  instance_->id.job = -2;
  dmumps_c(&instance_->id);
}

int SparseFactor::negatives() const { return instance_->id.infog[11]; }

double SparseFactor::factor_entries() const {
  const int entries = instance_->id.infog[28];
  return entries < 0 ? -1e6 * entries : entries;
}

void SparseFactor::solve(Eigen::MatrixXd &x) const {
  DMUMPS_STRUC_C &id = instance_->id;
  id.rhs = x.data();
  id.nrhs = int(x.cols());
  id.lrhs = int(x.rows());
  id.icntl[26] = int(x.cols());  // all columns at once
  instance_->call(3);
}

}  // namespace stillbox
