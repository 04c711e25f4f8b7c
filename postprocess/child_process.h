// SPDX-License-Identifier: MIT
#pragma once
#include <filesystem>
#include <string>
#include <vector>

namespace stillbox {

/// A new folder for temporary files that goes with all its files; what a killed run leaves of it, a later run removes
/// (solver/scratch_folder.h). Errors: OutputError.
struct TemporaryFolder {
  std::filesystem::path path;
  TemporaryFolder();
  ~TemporaryFolder();
  TemporaryFolder(const TemporaryFolder &) = delete;
  TemporaryFolder &operator=(const TemporaryFolder &) = delete;
};

/// The bytes of a file; empty when there is none, when it is not an ordinary file (a pipe would block) or has more than
/// 256 MiB.
std::string bytes_of_file(const std::filesystem::path &path);

constexpr int no_program = 127;  ///< exit code when the program is not there, as shells have it

/// Runs a program (looked for on the PATH, no shell) in `folder`, for at most a minute; what it says goes to the file
/// "messages" there. Its exit code, no_program, or -1. Errors: OutputError when it does not end.
int run_program(const std::filesystem::path &folder, const std::vector<std::string> &words);

}  // namespace stillbox
