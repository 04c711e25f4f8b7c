// SPDX-License-Identifier: MIT
#include "tests/benchmark/child_run.h"

#include <fcntl.h>
#include <sched.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace stillbox {
namespace {

std::string bytes_in(const std::filesystem::path &path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

double seconds_of(const timeval &t) { return double(t.tv_sec) + 1e-6 * double(t.tv_usec); }

bool redirect(int number, const char *path, int flags) {
  const int file = ::open(path, flags, 0600);
  return file >= 0 && ::dup2(file, number) >= 0;
}

}  // namespace

std::vector<int> own_processors() {
  cpu_set_t set;
  CPU_ZERO(&set);
  std::vector<int> list;
  if (::sched_getaffinity(0, sizeof set, &set) != 0) return list;
  for (int i = 0; i < CPU_SETSIZE; ++i)
    if (CPU_ISSET(i, &set)) list.push_back(i);
  return list;
}

ChildRun run_child(const std::vector<std::string> &words, int threads, const std::filesystem::path &folder) {
  const std::vector<int> processors = own_processors();
  if (int(processors.size()) < threads)
    throw std::runtime_error(std::to_string(threads) + " threads want as many processors; there are " +
                             std::to_string(processors.size()));
  cpu_set_t set;
  CPU_ZERO(&set);
  for (int i = 0; i < threads; ++i) CPU_SET(processors[std::size_t(i)], &set);
  std::vector<std::string> copies = words;
  std::vector<char *> arguments;
  for (std::string &word : copies) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const std::string number = std::to_string(threads), out = (folder / "out").string(), err = (folder / "err").string();
  const auto start = std::chrono::steady_clock::now();
  const pid_t child = ::fork();
  if (child < 0) throw std::runtime_error("no process can be made");
  if (child == 0) {  // this program has one thread, so that setenv is safe here
    const bool ready = ::sched_setaffinity(0, sizeof set, &set) == 0 &&
                       ::setenv("OPENBLAS_NUM_THREADS", number.c_str(), 1) == 0 && redirect(0, "/dev/null", O_RDONLY) &&
                       redirect(1, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC) &&
                       redirect(2, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC);
    if (ready) ::execv(arguments[0], arguments.data());
    ::_exit(127);
  }
  ChildRun run;
  int status = 0;
  rusage use{};
  pid_t ended = -1;
  while ((ended = ::wait4(child, &status, 0, &use)) < 0 && errno == EINTR) {
  }
  if (ended != child) throw std::runtime_error("a process that was started cannot be waited for");
  run.seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  run.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  run.processor_seconds = seconds_of(use.ru_utime) + seconds_of(use.ru_stime);
  run.peak = double(use.ru_maxrss) / 1024;
  run.out = bytes_in(out);
  run.err = bytes_in(err);
  return run;
}

}  // namespace stillbox
