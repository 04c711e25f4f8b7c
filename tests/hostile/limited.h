// SPDX-License-Identifier: MIT
#pragma once
#include <fcntl.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <string>
#include <thread>
#include <vector>

#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/empty_folder.h"

// The whole program as a child process, within limits; what it prints, took and left behind.

namespace stillbox {

/// A folder of its own for a test; TMPDIR of the programs it starts is below it.
struct OwnFolder : EmptyFolder {
  void SetUp() override {
    EmptyFolder::SetUp();
    fs::create_directory(folder / "tmp");
  }

  fs::path put(const std::string &name, const std::string &bytes) const {
    std::ofstream(folder / name, std::ios::binary) << bytes;
    return folder / name;
  }
};

/// Names in a folder, sorted, hidden ones too.
inline std::vector<std::string> names_in(const fs::path &folder) {
  std::vector<std::string> names;
  for (const auto &entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

struct Limited {
  int cpu_seconds = 0;         ///< killed beyond; 0: no limit
  std::size_t file_bytes = 0;  ///< largest file it may write; 0: no limit
  std::string out{};           ///< where its output goes; empty: kept; "closed": nowhere
  int kill_after_ms = -1;      ///< SIGKILL then
};

struct LimitedRun {
  int code = -1;  ///< 128 + signal when it was killed
  double seconds = 0;
  std::size_t bytes = 0;
  std::string out, err;
};

/// Runs stillbox with these words in the folder of the test.
inline LimitedRun run_limited(const fs::path &folder, const std::vector<std::string> &words,
                              const Limited &limits = {}) {
  static int count = 0;
  const std::string stem = (folder / ("run-" + std::to_string(++count))).string();
  const std::string out = limits.out.empty() || limits.out == "closed" ? stem + ".out" : limits.out;
  std::vector<std::string> all{STILLBOX_LIMITED, stem + ".report", std::to_string(limits.cpu_seconds),
                               std::to_string(limits.file_bytes), STILLBOX_BINARY};
  all.insert(all.end(), words.begin(), words.end());
  std::vector<char *> arguments;
  for (std::string &word : all) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const std::string scratch = (folder / "tmp").string();
  const pid_t process = ::fork();
  if (process == 0) {  // a process group of its own, to be killed as one
    ::setpgid(0, 0);
    if (::chdir(folder.c_str()) != 0) ::_exit(126);
    const int to = ::open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0666);
    const int errors = ::open((stem + ".err").c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0666);
    const int from = ::open("/dev/null", O_RDONLY);
    ::dup2(from, 0);
    ::dup2(to, 1);
    ::dup2(errors, 2);
    for (int number = 3; number < 64; ++number) ::close(number);
    if (limits.out == "closed") ::close(1);
    ::setenv("TMPDIR", scratch.c_str(), 1);
    ::setenv("OPENBLAS_NUM_THREADS", "1", 1);
    ::execv(arguments[0], arguments.data());
    ::_exit(127);
  }
  LimitedRun run;
  int status = 0;
  if (limits.kill_after_ms >= 0) {
    const auto end = std::chrono::steady_clock::now() + std::chrono::milliseconds(limits.kill_after_ms);
    while (::waitpid(process, &status, WNOHANG) == 0) {
      if (std::chrono::steady_clock::now() > end) {
        ::kill(-process, SIGKILL);
        ::waitpid(process, &status, 0);
        break;
      }
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
    }
  } else {
    while (::waitpid(process, &status, 0) < 0 && errno == EINTR) {
    }
  }
  run.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  std::ifstream(stem + ".report") >> run.code >> run.seconds >> run.bytes;
  if (WIFSIGNALED(status)) run.code = 128 + WTERMSIG(status);
  if (limits.out.empty()) run.out = bytes_in(out);
  run.err = bytes_in(stem + ".err");
  for (const char *ending : {".report", ".out", ".err"}) fs::remove(stem + ending);
  return run;
}

}  // namespace stillbox
