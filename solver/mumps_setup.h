// SPDX-License-Identifier: MIT
#pragma once
#include "solver/ranks.h"

namespace stillbox {

/// Makes MUMPS's data (real or complex) ready for its job -1: one process, a symmetric matrix that may be indefinite.
template <typename Mumps>
void set_up_symmetric(Mumps &id) {
  start_mpi();
  id.comm_fortran = communicator_of_self();
  id.par = 1;
  id.sym = 2;
}

/// What all our factorisations ask for, after job -1: silence, and the matrix as it is. Neither a maximum transversal
/// nor scaling would change the inertia, and both cost time.
template <typename Mumps>
void take_matrix_as_it_is(Mumps &id) {
  id.icntl[0] = id.icntl[1] = id.icntl[2] = -1;  // no printing
  id.icntl[3] = 0;
  id.icntl[5] = 0;   // no maximum transversal
  id.icntl[7] = 0;   // no scaling
  id.icntl[11] = 1;  // order the graph as it is
}

}  // namespace stillbox
