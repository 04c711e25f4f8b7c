// SPDX-License-Identifier: MIT
#pragma once
#include <cstdint>
#include <string>
#include <type_traits>

#include "solver/discretisation.h"
#include "solver/element_entry.h"
#include "solver/freed_memory.h"
#include "solver/mumps_setup.h"
#include "solver/scratch_folder.h"

namespace stillbox {

/// L D L' of a sparse symmetric matrix by MUMPS, real or complex: `Data` and `run` are MUMPS's structure and function
/// of that kind. A factor above `most_in_memory` bytes is kept in a scratch folder on disk and read back through the
/// file cache for each solution; in memory where there is no such folder.
template <typename Data, void (*run)(Data *)>
class MumpsFactor {
 public:
  using Value = std::remove_pointer_t<decltype(Data::a)>;

  explicit MumpsFactor(bool may_use_disk, double most_in_memory) : most_in_memory_(most_in_memory) {
    set_up_symmetric(id_);
    call(-1);
    if (may_use_disk) folder_ = make_scratch_folder();
  }
  ~MumpsFactor() {
    id_.job = -2;
    run(&id_);
    remove_scratch_folder(folder_);
  }
  MumpsFactor(const MumpsFactor &) = delete;
  MumpsFactor &operator=(const MumpsFactor &) = delete;

  /// Lower triangle; rows, columns and places in the elimination order count from 1. Without an order (null) METIS
  /// finds one. The arrays may go afterwards. Errors: SolveError when memory or disk runs out or the matrix is
  /// singular to working precision.
  void factorise(int n, std::int64_t entries, int *rows, int *columns, Value *values, int *order);

  /// The same of a sum of small dense matrices.
  void factorise(int n, ElementEntry &entry, int *order);

  int negatives() const { return id_.infog[11]; }

  /// Entries that the factor holds (INFOG(9) of MUMPS; negative: millions).
  double entries() const { return id_.infog[8] < 0 ? -1e6 * id_.infog[8] : id_.infog[8]; }

  /// Solves in place, column by column in memory.
  void solve(Value *x, int rows, int columns) {
    id_.rhs = x;
    id_.nrhs = columns;
    id_.lrhs = rows;
    id_.icntl[26] = columns;  // all columns at once
    call(3);
  }

 private:
  void call(int job) {
    id_.job = job;
    run(&id_);
    check();
  }
  void check() const;
  void analyse_and_factorise(int n, int *order);

  Data id_{};
  double most_in_memory_;
  std::string folder_;  // of the factor on disk, empty when it is in memory
};

template <typename Data, void (*run)(Data *)>
void MumpsFactor<Data, run>::check() const {
  const int code = id_.infog[0];
  if (code >= 0) return;
  std::string why = "the sparse factorisation failed (MUMPS code " + std::to_string(code) + ")";
  if (code == -10) why = "the matrix is singular: a part moves without resistance at the chosen frequency limit";
  if (code == -13 || code == -9 || code == -8 || code == -17 || code == -20)
    why = "not enough memory for the sparse factorisation; lower the fineness or the top frequency";
  if (code == -90)
    why = "the factor cannot be kept in " + scratch_place() + " (disk full?); set TMPDIR to another folder";
  throw SolveError(why);
}

template <typename Data, void (*run)(Data *)>
void MumpsFactor<Data, run>::factorise(int n, std::int64_t entries, int *rows, int *columns, Value *values,
                                       int *order) {
  static_assert(sizeof(*id_.irn) == sizeof(int), "MUMPS with 64-bit integers needs index vectors of its own");
  id_.nnz = entries;
  id_.irn = rows;
  id_.jcn = columns;
  id_.a = values;
  analyse_and_factorise(n, order);
}

template <typename Data, void (*run)(Data *)>
void MumpsFactor<Data, run>::factorise(int n, ElementEntry &entry, int *order) {
  id_.icntl[4] = 1;  // elements
  id_.nelt = int(entry.start.size()) - 1;
  id_.eltptr = entry.start.data();
  id_.eltvar = entry.unknowns.data();
  id_.a_elt = entry.values.data();
  analyse_and_factorise(n, order);
}

template <typename Data, void (*run)(Data *)>
void MumpsFactor<Data, run>::analyse_and_factorise(int n, int *order) {
  auto *icntl = id_.icntl;
  take_matrix_as_it_is(id_);
  icntl[13] = 20;  // per cent of spare work space
  icntl[6] = order ? 1 : 5;
  id_.n = n;
  id_.perm_in = order;
  give_back_freed_memory();  // the MPI library may have set it otherwise
  call(1);
  give_back_freed_memory();
  const int planned = id_.infog[28] != 0 ? id_.infog[28] : id_.infog[19];  // negative: millions
  if (!folder_.empty() && (planned < 0 ? -1e6 * planned : planned) * sizeof(Value) < most_in_memory_) {
    remove_scratch_folder(folder_);
    folder_.clear();
  }
  if (!folder_.empty()) {
    icntl[21] = 1;  // factor out of core
    folder_.copy(id_.ooc_tmpdir, sizeof(id_.ooc_tmpdir) - 1);
  }
  // Work space runs short when pivots are put off; give more and try again.
  for (;; icntl[13] *= 2) {
    id_.job = 2;
    run(&id_);
    const int code = id_.infog[0];
    if ((code != -8 && code != -9) || icntl[13] > 300) break;
  }
  check();
  // What goes after this MUMPS must not look at again: at every call it counts the elements' entries if it can.
  id_.irn = id_.jcn = id_.perm_in = id_.eltptr = id_.eltvar = nullptr;
  id_.a = id_.a_elt = nullptr;
}

}  // namespace stillbox
