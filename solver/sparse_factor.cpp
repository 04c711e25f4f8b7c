// SPDX-License-Identifier: MIT
#include "solver/sparse_factor.h"

#include <dmumps_c.h>
#include <metis.h>

#include <numeric>

#include "solver/condense.h"
#include "solver/element_entry.h"
#include "solver/mumps_factor.h"
#include "solver/parked_matrix.h"

namespace stillbox {

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
  options[METIS_OPTION_NSEPS] = 8;  // the best of so many separators: a tenth fewer operations and less memory
  constexpr idx_t few = 64;         // METIS divides by zero on some tiny graphs
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
  static constexpr double most_in_memory = 256.0 * 1024 * 1024;
  explicit Instance(bool may_use_disk) : mumps(may_use_disk, most_in_memory) {}
  MumpsFactor<DMUMPS_STRUC_C, dmumps_c> mumps;
  std::vector<InnerBlock> inner;
  int inner_negatives = 0;
};

SparseFactor::SparseFactor(SparseMatrix &lower, const std::vector<int> &order, const std::vector<int> &inner_start,
                           bool may_use_disk, std::vector<std::vector<int>> cells)
    : instance_(std::make_unique<Instance>(may_use_disk)) {
  Instance &m = *instance_;
  if (inner_start.size() > 1) m.inner = condense(lower, inner_start, m.inner_negatives);
  ParkedBlocks parked(m.inner);
  std::vector<int> place(order), rows;
  for (int &p : place) ++p;
  if (!cells.empty()) {
    const int n = int(lower.rows());
    ElementEntry entry = share_out(lower, std::move(cells));
    m.mumps.factorise(n, entry, place.data());
    m.inner = parked.take();
    return;
  }
  // The matrix's column indices serve as those of MUMPS, which counts from 1.
  lower.makeCompressed();
  const Eigen::Index entries = lower.nonZeros();
  rows.reserve(std::size_t(entries));
  for (int r = 0; r < lower.rows(); ++r)
    rows.insert(rows.end(), std::size_t(lower.outerIndexPtr()[r + 1] - lower.outerIndexPtr()[r]), r + 1);
  for (Eigen::Index i = 0; i < entries; ++i) ++lower.innerIndexPtr()[i];
  m.mumps.factorise(int(lower.rows()), entries, rows.data(), lower.innerIndexPtr(), lower.valuePtr(), place.data());
  SparseMatrix().swap(lower);
  m.inner = parked.take();
}

SparseFactor::~SparseFactor() = default;

int SparseFactor::negatives() const { return instance_->mumps.negatives() + instance_->inner_negatives; }

double SparseFactor::bytes() const {
  double entries = instance_->mumps.entries();
  for (const InnerBlock &block : instance_->inner) entries += double(block.inverse.size() + block.coupling.size());
  return sizeof(double) * entries;
}

void SparseFactor::solve(Eigen::MatrixXd &x) const {
  reduce_load(instance_->inner, x);
  instance_->mumps.solve(x.data(), int(x.rows()), int(x.cols()));
  recover_inner(instance_->inner, x);
}

}  // namespace stillbox
