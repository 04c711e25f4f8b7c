// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// MUMPS of Debian is built on MPI; starts that for this one process, once.
void start_mpi();

/// Makes MUMPS's data (real or complex) ready for its job -1: one process, a symmetric matrix that may be indefinite.
template <typename Mumps>
void set_up_symmetric(Mumps &id) {
  constexpr int use_comm_world = -987654;  // MUMPS's own constant for MPI_COMM_WORLD
  start_mpi();
  id.comm_fortran = use_comm_world;
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
