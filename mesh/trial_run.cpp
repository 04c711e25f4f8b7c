// SPDX-License-Identifier: MIT
#include "mesh/trial_run.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

namespace stillbox {
namespace {

[[noreturn]] void child(const std::function<void()> &work, int seconds) {
  const int sink = ::open("/dev/null", O_WRONLY);
  if (sink >= 0 && ::dup2(sink, 1) >= 0) ::dup2(sink, 2);
  const rlimit no_core{0, 0}, time{rlim_t(seconds), rlim_t(seconds) + 1};
  ::setrlimit(RLIMIT_CORE, &no_core);
  ::setrlimit(RLIMIT_CPU, &time);
  ::signal(SIGXCPU, SIG_DFL);
  for (const int number : {SIGSEGV, SIGBUS, SIGFPE, SIGABRT, SIGILL}) ::signal(number, SIG_DFL);
  try {
    work();
  } catch (...) {  // will be thrown again in earnest
  }
  ::_exit(0);
}

}  // namespace

TrialRun trial_run(const std::function<void()> &work, int seconds) {
  std::fflush(nullptr);  // or what is buffered would be written twice
  const pid_t process = ::fork();
  if (process < 0) return {};
  if (process == 0) child(work, seconds);
  int status = 0;
  pid_t done = 0;
  while ((done = ::waitpid(process, &status, 0)) < 0 && errno == EINTR) {
  }
  if (done < 0 || (WIFEXITED(status) && WEXITSTATUS(status) == 0)) return {};
  if (WIFSIGNALED(status) && (WTERMSIG(status) == SIGXCPU || WTERMSIG(status) == SIGKILL))
    return {false, "it takes more than " + std::to_string(seconds) + " s of processor time, or too much memory"};
  const std::string why = WIFSIGNALED(status) ? ::strsignal(WTERMSIG(status)) : "it ends early";
  return {false, "it breaks the reader (" + why + ")"};
}

}  // namespace stillbox
