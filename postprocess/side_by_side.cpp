// SPDX-License-Identifier: MIT
#include "postprocess/side_by_side.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sched.h>
#include <signal.h>
#include <sys/prctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <numeric>

#include "postprocess/job_errors.h"
#include "postprocess/write_all.h"
#include "solver/discretisation.h"
#include "solver/scratch_folder.h"

namespace stillbox {
namespace {

// A child writes parcels into a pipe: one letter, the length, the bytes.
enum Parcel : char { step = 's', needs = 'n', answer = 'a', error = 'e' };

void send(int pipe, char kind, const std::string &bytes) {
  char head[1 + sizeof(std::size_t)];
  const std::size_t size = bytes.size();
  head[0] = kind;
  std::memcpy(head + 1, &size, sizeof size);
  if (write_all(pipe, {head, sizeof head}) != 0 || write_all(pipe, bytes) != 0) ::_exit(1);  // nobody listens any more
}

std::string bytes_of(double value) {
  std::string bytes(sizeof value, '\0');
  std::memcpy(bytes.data(), &value, sizeof value);
  return bytes;
}

[[noreturn]] void run_child(std::size_t number, const Job &job, int pipe) {
  JobVoice voice;
  voice.step = [pipe](const std::string &text) { send(pipe, Parcel::step, text); };
  voice.needs = [pipe](double bytes) { send(pipe, Parcel::needs, bytes_of(bytes)); };
  try {
    send(pipe, Parcel::answer, job(number, voice));
  } catch (...) {
    send(pipe, Parcel::error, error_in_words(std::current_exception()));
  }
  ::close(pipe);
  std::exit(0);  // what is kept until the end of a process is let go here, too
}

struct Child {
  std::size_t job = 0;
  pid_t process = -1;
  int pipe = -1;
  std::string bytes;  // read, not yet used
  std::string step;
  double memory = -1;  // not told yet
  bool is_done = false;
};

/// Children that still run are ended when this goes.
struct Children {
  std::vector<Child> list;
  Children() = default;
  Children(const Children &) = delete;
  Children &operator=(const Children &) = delete;
  ~Children() {
    for (Child &child : list) {
      ::kill(child.process, SIGKILL);
      end(child);
    }
    if (!list.empty()) remove_abandoned_scratch();
  }
  static int end(Child &child) {
    ::close(child.pipe);
    int status = 0;
    while (::waitpid(child.process, &status, 0) < 0 && errno == EINTR) {
    }
    return status;
  }
};

[[noreturn]] void throw_no_process(int why) {
  throw SolveError(std::string("a variant cannot be solved in a process of its own: ") + std::strerror(why) +
                   "; --side-by-side 1 solves all in this one");
}

Child start(std::size_t number, const Job &job, const std::vector<Child> &others) {
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) throw_no_process(errno);
  std::fflush(nullptr);
  const pid_t own = ::getpid(), process = ::fork();
  if (process == 0) {
    ::prctl(PR_SET_PDEATHSIG, SIGKILL);
    if (::getppid() != own) ::_exit(1);
    ::signal(SIGPIPE, SIG_IGN);
    ::close(ends[0]);
    for (const Child &other : others) ::close(other.pipe);
    run_child(number, job, ends[1]);
  }
  const int why = errno;
  ::close(ends[1]);
  if (process < 0) {
    ::close(ends[0]);
    throw_no_process(why);
  }
  Child child;
  child.job = number;
  child.process = process;
  child.pipe = ends[0];
  return child;
}

/// Takes whole parcels from what has been read.
void unpack(Child &child, std::vector<std::string> &answers) {
  constexpr std::size_t head = 1 + sizeof(std::size_t);
  std::size_t at = 0;
  while (child.bytes.size() - at >= head) {
    std::size_t size = 0;
    std::memcpy(&size, child.bytes.data() + at + 1, sizeof size);
    if (child.bytes.size() - at - head < size) break;
    const char kind = child.bytes[at];
    std::string bytes = child.bytes.substr(at + head, size);
    at += head + size;
    if (kind == Parcel::step) child.step = bytes;
    if (kind == Parcel::needs) std::memcpy(&child.memory, bytes.data(), sizeof child.memory);
    if (kind == Parcel::error) throw_error_in_words(bytes);
    if (kind == Parcel::answer) {
      answers[child.job] = std::move(bytes);
      child.is_done = true;
    }
  }
  child.bytes.erase(0, at);
}

/// Reads what is there; false at the end.
bool listen(Child &child, std::vector<std::string> &answers) {
  char buffer[1 << 16];
  const ssize_t got = ::read(child.pipe, buffer, sizeof buffer);
  if (got < 0 && (errno == EINTR || errno == EAGAIN)) return true;
  if (got <= 0) return false;
  child.bytes.append(buffer, std::size_t(got));
  unpack(child, answers);
  return true;
}

bool has_room(const std::vector<Child> &running, const SideBySide &how) {
  if (running.empty()) return true;
  if (int(running.size()) >= how.most) return false;
  double sum = 0, greatest = 0;
  for (const Child &child : running) {
    if (child.memory < 0) return false;
    sum += child.memory;
    greatest = std::max(greatest, child.memory);
  }
  return sum + greatest <= how.memory;
}

}  // namespace

int processor_count() {
  cpu_set_t set;
  return sched_getaffinity(0, sizeof set, &set) == 0 ? std::max(1, CPU_COUNT(&set)) : 1;
}

std::vector<std::string> run_side_by_side(std::size_t count, const Job &job, const SideBySide &how) {
  std::vector<std::string> answers(count);
  std::vector<std::size_t> waiting = how.order, alone;
  if (waiting.empty()) {
    waiting.resize(count);
    std::iota(waiting.begin(), waiting.end(), std::size_t(0));
  }
  std::reverse(waiting.begin(), waiting.end());  // the next one is the last
  Children children;
  std::vector<Child> &running = children.list;
  while (!waiting.empty() || !alone.empty() || !running.empty()) {
    if (!waiting.empty() && has_room(running, how)) {
      running.push_back(start(waiting.back(), job, running));
      waiting.pop_back();
      continue;
    }
    if (running.empty()) {
      running.push_back(start(alone.back(), job, running));
      alone.pop_back();
    }
    std::vector<pollfd> pipes;
    for (const Child &child : running) pipes.push_back({child.pipe, POLLIN, 0});
    if (::poll(pipes.data(), pipes.size(), -1) < 0) continue;
    const bool was_alone = running.size() == 1;
    for (std::size_t i = running.size(); i-- > 0;) {
      if (pipes[i].revents == 0 || listen(running[i], answers)) continue;
      Child child = std::move(running[i]);
      running.erase(running.begin() + std::ptrdiff_t(i));
      const int status = Children::end(child);
      if (child.is_done) continue;
      if (was_alone)
        throw SolveError(
            fmt::format("the process that solved it ended early ({}); perhaps memory ran out: lower the fineness or "
                        "the top frequency",
                        WIFSIGNALED(status) ? ::strsignal(WTERMSIG(status)) : "no answer"));
      alone.push_back(child.job);
    }
    std::vector<std::string> steps(count);
    for (const Child &child : running) steps[child.job] = child.step;
    if (how.show) how.show(steps);
  }
  return answers;
}

}  // namespace stillbox
