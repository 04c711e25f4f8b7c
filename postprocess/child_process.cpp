// SPDX-License-Identifier: MIT
#include "postprocess/child_process.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <fstream>
#include <sstream>
#include <thread>

#include "postprocess/safe_file.h"
#include "postprocess/text.h"
#include "solver/scratch_folder.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;
constexpr std::chrono::seconds patience{60};
constexpr std::uintmax_t largest_file = std::uintmax_t(256) << 20;  // bytes

[[noreturn]] void fail(const std::string &why) { throw OutputError("the pictures", why); }

}  // namespace

TemporaryFolder::TemporaryFolder() {
  errno = 0;
  path = make_scratch_folder();
  if (path.empty())
    fail(clean_text(scratch_place()) + ": " + std::generic_category().message(errno) +
         "; set TMPDIR to a folder that can be written");
}

TemporaryFolder::~TemporaryFolder() { remove_scratch_folder(path.string()); }

std::string bytes_of_file(const fs::path &path) {
  std::error_code error;
  if (!fs::is_regular_file(path, error) || fs::file_size(path, error) > largest_file || error) return "";
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

int run_program(const fs::path &folder, const std::vector<std::string> &words) {
  const std::string where = folder.string();
  std::vector<std::string> copies = words;
  std::vector<char *> arguments;
  for (std::string &word : copies) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  const pid_t child = ::fork();
  if (child < 0) return -1;
  if (child == 0) {  // only calls that are safe between fork and exec
    if (::chdir(where.c_str()) != 0) ::_exit(126);
    const int in = ::open("/dev/null", O_RDONLY), out = ::open("messages", O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (in < 0 || out < 0 || ::dup2(in, 0) < 0 || ::dup2(out, 1) < 0 || ::dup2(out, 2) < 0) ::_exit(126);
    ::execvp(arguments[0], arguments.data());
    ::_exit(no_program);
  }
  const auto end = std::chrono::steady_clock::now() + patience;
  int status = 0;
  for (pid_t done = 0; done == 0;) {
    done = ::waitpid(child, &status, WNOHANG);
    if (done < 0 && errno == EINTR) done = 0;
    if (done < 0) return -1;
    if (done > 0) break;
    if (std::chrono::steady_clock::now() > end) {
      ::kill(child, SIGKILL);
      ::waitpid(child, &status, 0);
      fail(fmt::format("{} did not end within {} s", words[0], patience.count()));
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

}  // namespace stillbox
