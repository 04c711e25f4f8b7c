// SPDX-License-Identifier: MIT
#pragma once

namespace stillbox {

/// Whether Open MPI's mpirun started this process; known from the environment, before MPI itself starts.
bool started_by_mpirun();

/// Number of this process among those that mpirun started, from 0, and how many there are. Without mpirun 0 and 1.
int own_rank();
int rank_count();

/// MUMPS of Debian is built on MPI; starts that, once: for this one process, or among those of mpirun.
void start_mpi();

/// Whether MPI runs in this process, which must not fork then.
bool mpi_is_running();

/// MPI's communicator of this process alone, as Fortran counts them: for what one process solves by itself.
int communicator_of_self();

/// Ends all processes of mpirun with this exit code: where one of them gives up, the others would wait for ever.
[[noreturn]] void end_all_ranks(int code);

}  // namespace stillbox
