// SPDX-License-Identifier: MIT
#include "solver/ranks.h"

#include <mpi.h>

#include <cstdlib>

namespace stillbox {
namespace {

int number_in(const char *name, int otherwise) {
  const char *text = std::getenv(name);
  return text == nullptr ? otherwise : std::atoi(text);
}

}  // namespace

bool mpi_is_running() {
  int started = 0, done = 0;
  MPI_Initialized(&started);
  MPI_Finalized(&done);
  return started && !done;
}

bool started_by_mpirun() { return std::getenv("OMPI_COMM_WORLD_SIZE") != nullptr; }

int own_rank() { return number_in("OMPI_COMM_WORLD_RANK", 0); }

int rank_count() { return number_in("OMPI_COMM_WORLD_SIZE", 1); }

void start_mpi() {
  static const bool started = [] {
    int ready = 0;
    MPI_Initialized(&ready);
    if (!ready) {
      if (!started_by_mpirun()) {
        setenv("OMPI_MCA_btl", "self", 0);  // one process needs no network
        setenv("OMPI_MCA_plm_rsh_agent", "", 0);
        // Nor a daemon beside it, which would outlive a kill and, on a full disk, keep the start waiting for minutes,
        // nor folders of its own.
        setenv("OMPI_MCA_ess_singleton_isolated", "1", 0);
        setenv("OMPI_MCA_orte_create_session_dirs", "0", 0);
      }
      MPI_Init(nullptr, nullptr);
      std::atexit([] {
        if (mpi_is_running()) MPI_Finalize();
      });
    }
    return true;
  }();
  (void)started;
}

int communicator_of_self() { return int(MPI_Comm_c2f(MPI_COMM_SELF)); }

void end_all_ranks(int code) {
  if (mpi_is_running()) MPI_Abort(MPI_COMM_WORLD, code);
  std::_Exit(code);
}

}  // namespace stillbox
