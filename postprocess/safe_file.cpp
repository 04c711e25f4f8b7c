// SPDX-License-Identifier: MIT
#include "postprocess/safe_file.h"

#include <fcntl.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <thread>
#include <utility>
#include <vector>

#include "postprocess/text.h"
#include "postprocess/write_all.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(const fs::path &path, int error) {
  const std::error_code code(error, std::generic_category());
  throw OutputError(path.string(), code.message(), code);
}

const std::string temporary_prefix = ".stillbox-";

/// An open file that is closed, and removed when it is still a temporary one.
struct OpenFile {
  int descriptor = -1;
  std::string temporary;

  OpenFile() = default;
  OpenFile(const OpenFile &) = delete;
  OpenFile &operator=(const OpenFile &) = delete;
  ~OpenFile() {
    if (descriptor >= 0) ::close(descriptor);
    if (!temporary.empty()) ::unlink(temporary.c_str());
  }
};

/// Creates a temporary file in `folder`; 0 or the system's error number.
int open_temporary(const fs::path &folder, OpenFile &file) {
  std::string pattern = (folder / (temporary_prefix + std::to_string(::getpid()) + "-XXXXXX")).string();
  file.descriptor = ::mkstemp(pattern.data());
  if (file.descriptor < 0) return errno;
  file.temporary = pattern;
  // mkstemp gives the file to its owner alone; an ordinary output file follows the user's mask.
  const mode_t mask = ::umask(0);
  ::umask(mask);
  return ::fchmod(file.descriptor, 0666 & ~mask) == 0 ? 0 : errno;
}

int close_file(OpenFile &file) {
  const int descriptor = file.descriptor;
  file.descriptor = -1;
  return ::close(descriptor) == 0 ? 0 : errno;
}

void write_in_place(const fs::path &path, std::string_view bytes) {
  OpenFile file;
  file.descriptor = ::open(path.c_str(), O_WRONLY | O_CLOEXEC);
  if (file.descriptor < 0) fail(path, errno);
  if (const int error = write_all(file.descriptor, bytes)) fail(path, error);
  if (const int error = close_file(file)) fail(path, error);
}

/// Makes a rename last through a power cut; a file system that cannot do that for folders is not an error.
void flush_folder(const fs::path &folder) {
  OpenFile file;
  file.descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (file.descriptor >= 0) ::fsync(file.descriptor);
}

fs::path folder_of(const fs::path &path) { return path.has_parent_path() ? path.parent_path() : fs::path("."); }

/// Removes the temporary files that killed runs left. Only called with the folder for ourselves: the process numbers of
/// other machines say nothing here.
void remove_abandoned(const fs::path &folder) {
  std::error_code error;
  std::vector<fs::path> abandoned;
  for (const auto &entry : fs::directory_iterator(folder, error)) {
    const std::string name = entry.path().filename().string();
    if (name.rfind(temporary_prefix, 0) != 0) continue;
    const long process = std::strtol(name.c_str() + temporary_prefix.size(), nullptr, 10);
    if (process > 0 && ::kill(pid_t(process), 0) != 0 && errno == ESRCH) abandoned.push_back(entry.path());
  }
  for (const fs::path &path : abandoned) fs::remove(path, error);
}

/// The folder that this process keeps.
struct KeptFolder {
  int descriptor = -1;
  ~KeptFolder() { let_go(); }
  void let_go() {
    if (descriptor >= 0) ::close(descriptor);
    descriptor = -1;
  }
};

bool is_same(int a, int b) {
  struct stat first {
  }, second{};
  return a >= 0 && ::fstat(a, &first) == 0 && ::fstat(b, &second) == 0 && first.st_dev == second.st_dev &&
         first.st_ino == second.st_ino;
}

void keep_folder(const fs::path &folder, FolderUse use) {
  static KeptFolder kept;
  if (use == FolderUse::not_kept) return;
  KeptFolder now;
  now.descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (now.descriptor < 0 || is_same(kept.descriptor, now.descriptor)) return;
  kept.let_go();
  const int how = (use == FolderUse::with_others ? LOCK_SH : LOCK_EX) | LOCK_NB;
  bool is_taken = false;
  for (int i = 0; i < (use == FolderUse::after_work ? 100 : 1); ++i) {
    if (i > 0) std::this_thread::sleep_for(std::chrono::milliseconds(100));
    if (::flock(now.descriptor, how) == 0) {
      std::swap(kept.descriptor, now.descriptor);
      if (use == FolderUse::alone) remove_abandoned(folder);
      return;
    }
    is_taken = errno == EWOULDBLOCK;
    if (!is_taken) return;
  }
  if (use != FolderUse::after_work)
    throw OutputError(folder.string(),
                      "another run of stillbox is writing into this folder; wait for its end, or name another folder "
                      "with --out",
                      std::make_error_code(std::errc::device_or_resource_busy));
}

}  // namespace

OutputError::OutputError(const std::string &where, const std::string &why, std::error_code system_code)
    : std::runtime_error("cannot write " + clean_text(where) + ": " + why),
      path(where),
      reason(why),
      code(system_code) {}

void write_file(const std::string &path, std::string_view bytes) {
  fs::path target = path;
  std::error_code ignored;
  if (fs::is_symlink(target, ignored)) {
    const fs::path resolved = fs::canonical(target, ignored);
    if (!ignored) target = resolved;
  }
  const fs::file_status status = fs::status(target, ignored);
  if (fs::is_directory(status)) fail(path, EISDIR);
  if (fs::exists(status) && !fs::is_regular_file(status)) return write_in_place(target, bytes);

  const fs::path folder = folder_of(target);
  OpenFile file;
  if (const int error = open_temporary(folder, file)) fail(path, error);
  if (const int error = write_all(file.descriptor, bytes)) fail(path, error);
  if (::fsync(file.descriptor) != 0 && errno != EINVAL) fail(path, errno);
  if (const int error = close_file(file)) fail(path, error);
  if (::rename(file.temporary.c_str(), target.c_str()) != 0) fail(path, errno);
  file.temporary.clear();
  flush_folder(folder);
}

void check_writable(const std::string &folder, FolderUse use) {
  const fs::path target = folder.empty() ? fs::path(".") : fs::path(folder);
  std::vector<fs::path> missing;
  std::error_code error;
  for (fs::path at = target; !at.empty() && !fs::exists(at, error) && !error; at = at.parent_path()) {
    missing.push_back(at);
  }
  std::vector<fs::path> created;
  const auto give_up = [&](int number) {
    for (auto it = created.rbegin(); it != created.rend(); ++it) ::rmdir(it->c_str());
    fail(target, number);
  };
  for (auto it = missing.rbegin(); it != missing.rend(); ++it) {
    if (::mkdir(it->c_str(), 0777) == 0) {
      created.push_back(*it);
    } else if (errno != EEXIST) {
      give_up(errno);
    }
  }
  OpenFile file;
  int number = open_temporary(target, file);
  if (number == 0) number = write_all(file.descriptor, "stillbox");  // a full disk shows here
  if (number != 0) {
    if (!file.temporary.empty()) ::unlink(file.temporary.c_str());
    file.temporary.clear();
    give_up(number);
  }
  try {
    keep_folder(target, use);
  } catch (const OutputError &) {
    for (auto it = created.rbegin(); it != created.rend(); ++it) ::rmdir(it->c_str());
    throw;
  }
}

}  // namespace stillbox
