// SPDX-License-Identifier: MIT
#include "tests/fuzz/guarded.h"

#include <cxxabi.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/time.h>
#include <sys/wait.h>
#include <unistd.h>

#include <atomic>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <ctime>
#include <exception>
#include <stdexcept>
#include <typeinfo>

namespace stillbox {
namespace {

#if defined(STILLBOX_SANITIZED)
constexpr bool sanitizer = true;
#else
constexpr bool sanitizer = false;
#endif

/// What parent and child share.
struct Board {
  std::atomic<std::size_t> number;  ///< of the input that is worked on
  char complaint[1024];
};

constexpr int blocked = 96, complained = 97, time_is_up = 98;  // exit codes of the child

/// Processor time of this process, ms; may be asked in a signal's handler.
long used_milliseconds() {
  timespec t{};
  ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return long(t.tv_sec) * 1000 + long(t.tv_nsec / 1000000);
}

/// Seconds in turn in which the child has been awake without computing: a machine that is paused does not count, nor
/// one that has little time for it.
volatile std::sig_atomic_t ticks = 0;
long used_at_tick = 0;
void tick(int) {
  const long used = used_milliseconds();
  ticks = used > used_at_tick ? 0 : ticks + 1;
  used_at_tick = used;
  if (ticks > 60) ::_exit(blocked);
}

/// A line of /proc/self/status in bytes ("VmHWM", "VmRSS", "VmSize").
std::size_t memory(const char *what) {
  std::FILE *file = std::fopen("/proc/self/status", "r");
  if (!file) return 0;
  char line[256];
  std::size_t kilobytes = 0;
  while (std::fgets(line, sizeof line, file))
    if (std::strncmp(line, what, std::strlen(what)) == 0) std::sscanf(line + std::strlen(what), ": %zu", &kilobytes);
  std::fclose(file);
  return kilobytes << 10;
}

void forget_peak() {
  if (std::FILE *file = std::fopen("/proc/self/clear_refs", "w")) {
    std::fputs("5", file);
    std::fclose(file);
  }
}

double used_seconds(int who) {
  rusage use{};
  ::getrusage(who, &use);
  return double(use.ru_utime.tv_sec + use.ru_stime.tv_sec) + 1e-6 * double(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
}

/// Processor time of one input: the default action of the signal ends the child.
void set_timer(double seconds) {
  itimerval timer{};
  timer.it_value.tv_sec = time_t(seconds);
  timer.it_value.tv_usec = suseconds_t(1e6 * (seconds - double(timer.it_value.tv_sec)));
  ::setitimer(ITIMER_PROF, &timer, nullptr);
}

std::string complaint_about(const std::function<std::string(std::size_t)> &work, std::size_t number) {
  try {
    return work(number);
  } catch (const std::exception &error) {
    int status = 0;
    char *name = abi::__cxa_demangle(typeid(error).name(), nullptr, nullptr, &status);
    const std::string what = fmt::format("throws {}: {}", name ? name : typeid(error).name(), error.what());
    std::free(name);
    return what;
  } catch (...) {
    return "throws something that is no exception";
  }
}

[[noreturn]] void child(std::size_t first, std::size_t count, const std::function<std::string(std::size_t)> &work,
                        const GuardLimits &limits, double seconds, Board &board, const char *words) {
  const int sink = words ? ::open(words, O_WRONLY | O_CREAT | O_TRUNC, 0666) : ::open("/dev/null", O_WRONLY);
  ::dup2(sink, 1);
  ::dup2(sink, 2);
  for (const int number : {SIGSEGV, SIGBUS, SIGFPE, SIGABRT, SIGILL, SIGPROF})
    if (!sanitizer || number == SIGPROF) ::signal(number, SIG_DFL);
  struct sigaction each_second {};
  each_second.sa_handler = tick;
  each_second.sa_flags = SA_RESTART;
  ::sigaction(SIGALRM, &each_second, nullptr);
  const itimerval second{{1, 0}, {1, 0}};
  ::setitimer(ITIMER_REAL, &second, nullptr);
  const rlimit no_core{0, 0};
  ::setrlimit(RLIMIT_CORE, &no_core);
  const std::size_t most = limits.bytes * (sanitizer ? 4 : 1);
  if (!sanitizer) {  // a stop for what would run away; the peak below is what counts
    const rlimit space{memory("VmSize") + 8 * most, RLIM_INFINITY};
    ::setrlimit(RLIMIT_AS, &space);
  }
  for (std::size_t i = first; i < count; ++i) {
    board.number = i;
    if (seconds > 0 && used_seconds(RUSAGE_SELF) > seconds) ::_exit(time_is_up);
    forget_peak();
    const std::size_t before = memory("VmRSS");
    ticks = 0;
    set_timer(limits.seconds * (sanitizer ? 10 : 1));
    std::string complaint = complaint_about(work, i);
    set_timer(0);
    const std::size_t peak = memory("VmHWM");
    if (complaint.empty() && peak > before + most)
      complaint = fmt::format("takes {} MiB; allowed {}", (peak - before) >> 20, most >> 20);
    if (complaint.empty()) continue;
    std::snprintf(board.complaint, sizeof board.complaint, "%s", complaint.c_str());
    ::_exit(complained);
  }
  board.number = count;
  ::_exit(0);
}

}  // namespace

bool has_sanitizer() { return sanitizer; }

std::vector<GuardFinding> run_guarded(std::size_t count, const std::function<std::string(std::size_t)> &work,
                                      const GuardLimits &limits, std::size_t most, double seconds, std::size_t *done,
                                      const char *words) {
  void *const place = ::mmap(nullptr, sizeof(Board), PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
  if (place == MAP_FAILED) throw std::runtime_error("no shared memory");
  Board &board = *new (place) Board{};
  std::vector<GuardFinding> findings;
  const double start = used_seconds(RUSAGE_CHILDREN);
  std::size_t next = 0;
  while (next < count && findings.size() < most) {
    board.complaint[0] = 0;
    board.number = next;
    const double left = seconds > 0 ? seconds - (used_seconds(RUSAGE_CHILDREN) - start) : 0;
    if (seconds > 0 && left <= 0) break;
    std::fflush(nullptr);
    const pid_t process = ::fork();
    if (process < 0) throw std::runtime_error("no child process");
    if (process == 0) child(next, count, work, limits, left, board, words);
    int status = 0;
    while (::waitpid(process, &status, 0) < 0 && errno == EINTR) {
    }
    next = board.number;
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0 && next == count) break;
    if (WIFEXITED(status) && WEXITSTATUS(status) == time_is_up) break;
    std::string what;
    if (WIFEXITED(status) && WEXITSTATUS(status) == complained)
      what = board.complaint;
    else if (WIFEXITED(status) && WEXITSTATUS(status) == blocked)
      what = "blocks for a minute";
    else if (WIFEXITED(status))
      what = fmt::format("ends the process with code {}", WEXITSTATUS(status));
    else if (WTERMSIG(status) == SIGPROF)
      what = fmt::format("takes more than {} s of processor time", limits.seconds * (sanitizer ? 10 : 1));
    else
      what = fmt::format("crashes: {}", ::strsignal(WTERMSIG(status)));
    findings.push_back({next, what});
    ++next;
  }
  if (done) *done = next;
  ::munmap(place, sizeof(Board));
  return findings;
}

}  // namespace stillbox
