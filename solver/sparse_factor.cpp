// SPDX-License-Identifier: MIT
#include "solver/sparse_factor.h"

#include <dmumps_c.h>
#include <metis.h>
#include <mpi.h>

#include <cstdlib>
#include <numeric>

#include "solver/condense.h"
#include "solver/freed_memory.h"
#include "solver/mumps_setup.h"
#include "solver/parked_matrix.h"
#include "solver/scratch_folder.h"

namespace stillbox {
namespace {

constexpr double most_in_memory = 256.0 * 1024 * 1024 / sizeof(double);  // entries of the factor

}  // namespace

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

std::vector<int> dissection_order(const System &system, const std::vector<int> &block_start, int end) {
  idx_t blocks = 0;
  while (block_start[blocks] < end) ++blocks;
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
  constexpr idx_t few = 64;  // METIS divides by zero on some tiny graphs
  if (blocks < few || METIS_NodeND(&blocks, start.data(), list.data(), weight.data(), options, permutation.data(),
                                   place.data()) != METIS_OK)
    std::iota(permutation.begin(), permutation.end(), 0);
  std::vector<int> order(block_start[blocks]);
  int next = 0;
  for (idx_t i = 0; i < blocks; ++i)
    for (int k = block_start[permutation[i]]; k < block_start[permutation[i] + 1]; ++k) order[k] = next++;
  return order;
}

struct SparseFactor::Instance {
  DMUMPS_STRUC_C id{};
  std::vector<int> order;
  std::vector<InnerBlock> inner;
  int inner_negatives = 0;
  std::string folder;  ///< of the factor on disk, empty when it is in memory

  void call(int job) {
    id.job = job;
    dmumps_c(&id);
    check();
  }

  void check() const {
    if (id.infog[0] >= 0) return;
    const int code = id.infog[0];
    std::string why = "the sparse factorisation failed (MUMPS code " + std::to_string(code) + ")";
    if (code == -10) why = "the matrix is singular: a part moves without resistance at the chosen frequency limit";
    if (code == -13 || code == -9 || code == -8 || code == -17 || code == -20)
      why = "not enough memory for the sparse factorisation; lower the fineness or the top frequency";
    if (code == -90)
      why = "the factor cannot be kept in " + scratch_place() + " (disk full?); set TMPDIR to another folder";
    throw SolveError(why);
  }

  /// Entries of L as planned by the analysis, exact after the factorisation.
  double factor_size() const {
    const int entries = id.infog[28] != 0 ? id.infog[28] : id.infog[19];
    return entries < 0 ? -1e6 * entries : entries;
  }

  void factorise(SparseMatrix &lower);
};

// Orders, factorises and drops the matrix. Its column indices serve as those of MUMPS, which counts from 1.
void SparseFactor::Instance::factorise(SparseMatrix &lower) {
  auto *icntl = id.icntl;
  take_matrix_as_it_is(id);
  icntl[13] = 20;  // per cent of spare work space
  icntl[6] = 1;    // order given
  static_assert(sizeof(MUMPS_INT) == sizeof(int), "MUMPS with 64-bit integers needs index vectors of its own");
  std::vector<int> rows;
  lower.makeCompressed();
  const Eigen::Index entries = lower.nonZeros();
  rows.reserve(std::size_t(entries));
  for (int r = 0; r < lower.rows(); ++r)
    rows.insert(rows.end(), std::size_t(lower.outerIndexPtr()[r + 1] - lower.outerIndexPtr()[r]), r + 1);
  for (Eigen::Index i = 0; i < entries; ++i) ++lower.innerIndexPtr()[i];
  id.n = int(lower.rows());
  id.nnz = entries;
  id.irn = rows.data();
  id.jcn = lower.innerIndexPtr();
  id.a = lower.valuePtr();
  id.perm_in = order.data();
  give_back_freed_memory();  // the MPI library may have set it otherwise
  call(1);
  give_back_freed_memory();
  if (!folder.empty() && factor_size() < most_in_memory) {
    remove_scratch_folder(folder);
    folder.clear();
  }
  if (!folder.empty()) {
    icntl[21] = 1;  // factor out of core
    folder.copy(id.ooc_tmpdir, sizeof(id.ooc_tmpdir) - 1);
  }
  // Work space runs short when pivots are put off; give more and try again.
  for (;; icntl[13] *= 2) {
    id.job = 2;
    dmumps_c(&id);
    const int code = id.infog[0];
    if ((code != -8 && code != -9) || icntl[13] > 300) break;
  }
  check();
}

SparseFactor::SparseFactor(SparseMatrix &lower, const std::vector<int> &order, const std::vector<int> &inner_start,
                           bool may_use_disk)
    : instance_(std::make_unique<Instance>()) {
  Instance &m = *instance_;
  if (inner_start.size() > 1) m.inner = condense(lower, inner_start, m.inner_negatives);
  ParkedBlocks parked(m.inner);
  for (int place : order) m.order.push_back(place + 1);
  set_up_symmetric(m.id);
  m.call(-1);
  if (may_use_disk) m.folder = make_scratch_folder();
  try {
    m.factorise(lower);
    SparseMatrix().swap(lower);
    m.inner = parked.take();
  } catch (...) {
    remove_scratch_folder(m.folder);
    throw;
  }
}

SparseFactor::~SparseFactor() {
  instance_->id.job = -2;
  dmumps_c(&instance_->id);
  remove_scratch_folder(instance_->folder);
}

int SparseFactor::negatives() const { return instance_->id.infog[11] + instance_->inner_negatives; }

void SparseFactor::solve(Eigen::MatrixXd &x) const {
  DMUMPS_STRUC_C &id = instance_->id;
  reduce_load(instance_->inner, x);
  id.rhs = x.data();
  id.nrhs = int(x.cols());
  id.lrhs = int(x.rows());
  id.icntl[26] = int(x.cols());  // all columns at once
  instance_->call(3);
  recover_inner(instance_->inner, x);
}

}  // namespace stillbox
