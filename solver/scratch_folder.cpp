// SPDX-License-Identifier: MIT
#include "solver/scratch_folder.h"

#include <signal.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <filesystem>
#include <vector>

namespace stillbox {
namespace {

constexpr char prefix[] = "stillbox-scratch-";

}  // namespace

std::string scratch_place() {
  const char *place = std::getenv("TMPDIR");
  return place && *place ? place : "/tmp";
}

ScratchFile nameless_file() {
  std::string name = scratch_place() + "/" + prefix + std::to_string(getpid()) + "-XXXXXX";
  const int descriptor = mkstemp(name.data());
  if (descriptor < 0) return nullptr;
  unlink(name.c_str());
  std::FILE *file = fdopen(descriptor, "w+b");
  if (!file) close(descriptor);
  return ScratchFile(file);
}

void remove_abandoned_scratch() {
  std::error_code error;
  std::vector<std::filesystem::path> abandoned;
  for (const auto &entry : std::filesystem::directory_iterator(scratch_place(), error)) {
    const std::string name = entry.path().filename().string();
    if (name.rfind(prefix, 0) != 0) continue;
    const long process = std::strtol(name.c_str() + sizeof(prefix) - 1, nullptr, 10);
    if (process > 0 && kill(pid_t(process), 0) != 0 && errno == ESRCH) abandoned.push_back(entry.path());
  }
  for (const auto &path : abandoned) std::filesystem::remove_all(path, error);
}

std::string make_scratch_folder() {
  remove_abandoned_scratch();
  std::string name = scratch_place() + "/" + prefix + std::to_string(getpid()) + "-XXXXXX";
  return mkdtemp(name.data()) ? name : std::string();
}

void remove_scratch_folder(const std::string &folder) {
  std::error_code error;
  if (!folder.empty()) std::filesystem::remove_all(folder, error);
}

}  // namespace stillbox
