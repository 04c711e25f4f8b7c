// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/assembly.h"
#include "solver/condense.h"
#include "solver/scratch_folder.h"

namespace stillbox {

/// A copy of a sparse matrix that is out of the way for a while: in a temporary file without a name, so that its memory
/// is free for a factorisation. Where no such file can be had, it stays in memory.
class ParkedMatrix {
 public:
  explicit ParkedMatrix(const SparseMatrix &matrix);  ///< compressed
  /// The matrix as it was, bit for bit; once. Errors: SolveError when the file cannot be read.
  void take(SparseMatrix &back);

 private:
  ScratchFile file_;
  Eigen::Index rows_ = 0, columns_ = 0, entries_ = 0;
  SparseMatrix kept_;
};

/// The same for the blocks that condense has taken out.
class ParkedBlocks {
 public:
  explicit ParkedBlocks(std::vector<InnerBlock> &blocks);  ///< empties `blocks`
  std::vector<InnerBlock> take();

 private:
  ScratchFile file_;
  std::vector<InnerBlock> kept_;
};

}  // namespace stillbox
