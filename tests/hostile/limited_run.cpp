// SPDX-License-Identifier: MIT
// stillbox_limited: runs a program within limits and says what it took. A small process of its own, because the peak
// memory that the system reports of a child counts from its fork on, with all that the forking process held.
//   stillbox_limited REPORT CPU_SECONDS FILE_BYTES PROGRAM [ARGUMENT ...]
// A limit of 0 is none. REPORT gets one line: exit code (128 + signal when killed), processor time in s, peak resident
// set in bytes. Exit code: that of the program.

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>

namespace {

void limit(int what, const char *value) {
  const rlim_t most = std::strtoull(value, nullptr, 10);
  const rlimit both{most, most};
  if (most > 0) ::setrlimit(what, &both);
}

}  // namespace

int main(int argc, char **argv) {
  if (argc < 5) return 125;
  const pid_t process = ::fork();
  if (process < 0) return 125;
  if (process == 0) {
    const rlimit no_core{0, 0};
    ::setrlimit(RLIMIT_CORE, &no_core);
    limit(RLIMIT_CPU, argv[2]);
    limit(RLIMIT_FSIZE, argv[3]);
    ::execv(argv[4], argv + 4);
    ::_exit(127);
  }
  int status = 0;
  rusage use{};
  while (::wait4(process, &status, 0, &use) < 0 && errno == EINTR) {
  }
  const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  if (std::FILE *report = std::fopen(argv[1], "w")) {
    const double seconds =
        double(use.ru_utime.tv_sec + use.ru_stime.tv_sec) + 1e-6 * double(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
    std::fprintf(report, "%d %.3f %zu\n", code, seconds, std::size_t(use.ru_maxrss) << 10);
    std::fclose(report);
  }
  return code;
}
