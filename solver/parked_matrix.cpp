// SPDX-License-Identifier: MIT
#include "solver/parked_matrix.h"

#include "mesh/structure.h"

namespace stillbox {
namespace {

template <typename T>
bool put(std::FILE *file, const T *data, Eigen::Index count) {
  return std::fwrite(data, sizeof(T), std::size_t(count), file) == std::size_t(count);
}

template <typename T>
bool get(std::FILE *file, T *data, Eigen::Index count) {
  return std::fread(data, sizeof(T), std::size_t(count), file) == std::size_t(count);
}

}  // namespace

ParkedMatrix::ParkedMatrix(const SparseMatrix &matrix) : rows_(matrix.rows()), columns_(matrix.cols()) {
  entries_ = matrix.nonZeros();
  file_ = nameless_file();
  if (file_ && put(file_.get(), matrix.outerIndexPtr(), rows_ + 1) &&
      put(file_.get(), matrix.innerIndexPtr(), entries_) && put(file_.get(), matrix.valuePtr(), entries_) &&
      std::fflush(file_.get()) == 0)
    return;
  file_.reset();
  kept_ = matrix;
}

void ParkedMatrix::take(SparseMatrix &back) {
  if (!file_) {
    back.swap(kept_);
    return;
  }
  back.resize(rows_, columns_);
  back.resizeNonZeros(entries_);
  std::rewind(file_.get());
  if (!get(file_.get(), back.outerIndexPtr(), rows_ + 1) || !get(file_.get(), back.innerIndexPtr(), entries_) ||
      !get(file_.get(), back.valuePtr(), entries_))
    throw SolveError("a temporary file of this run cannot be read back");
  file_.reset();
}

ParkedBlocks::ParkedBlocks(std::vector<InnerBlock> &blocks) : file_(nameless_file()) {
  kept_.swap(blocks);
  if (!file_) return;
  for (const InnerBlock &block : kept_)
    if (!put(file_.get(), block.inverse.data(), block.inverse.size()) ||
        !put(file_.get(), block.coupling.data(), block.coupling.size())) {
      file_.reset();
      return;
    }
  if (std::fflush(file_.get()) != 0) {
    file_.reset();
    return;
  }
  for (InnerBlock &block : kept_) {
    Eigen::MatrixXd().swap(block.inverse);
    Eigen::MatrixXd().swap(block.coupling);
  }
}

std::vector<InnerBlock> ParkedBlocks::take() {
  if (file_) {
    std::rewind(file_.get());
    for (InnerBlock &block : kept_) {
      block.inverse.resize(block.size, block.size);
      block.coupling.resize(block.size, Eigen::Index(block.outer.size()));
      if (!get(file_.get(), block.inverse.data(), block.inverse.size()) ||
          !get(file_.get(), block.coupling.data(), block.coupling.size()))
        throw SolveError("a temporary file of this run cannot be read back");
    }
    file_.reset();
  }
  return std::move(kept_);
}

}  // namespace stillbox
