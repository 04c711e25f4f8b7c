// SPDX-License-Identifier: MIT
#include "solver/blas_kernels.h"

#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <system_error>

#include "solver/ranks.h"

extern "C" char *openblas_get_corename(void);  // of OpenBLAS's own, as its header declares it beside much else

namespace stillbox {
namespace {

constexpr char choice[] = "OPENBLAS_CORETYPE";

bool has_wider_vectors_than_used() {
#ifdef __x86_64__
  const std::string kernels = openblas_get_corename();
  return (kernels == "Haswell" || kernels == "Zen") && __builtin_cpu_supports("avx512f") &&
         __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512bw") &&
         __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl");
#else
  return false;
#endif
}

}  // namespace

void restart_with_wider_blas_kernels(char **arguments) {
  if (std::getenv(choice) != nullptr || started_by_mpirun() || !has_wider_vectors_than_used()) return;
  std::error_code error;
  const std::filesystem::path own = std::filesystem::read_symlink("/proc/self/exe", error);
  if (error) return;
  std::fflush(nullptr);
  ::setenv(choice, "SkylakeX", 1);
  ::execv(own.c_str(), arguments);
  ::unsetenv(choice);  // it could not be started: as before
}

}  // namespace stillbox
