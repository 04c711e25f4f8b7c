// SPDX-License-Identifier: MIT
#pragma once
#include <sys/wait.h>

#include <cstdio>
#include <string>

namespace stillbox {

struct Ran {
  int code = -1;
  std::string out;
};

/// Runs a command of the shell and keeps what it prints; add 2>&1 for its errors.
inline Ran ran(const std::string &command) {
  Ran result;
  std::FILE *pipe = ::popen(command.c_str(), "r");
  if (!pipe) return result;
  char buffer[4096];
  for (std::size_t n = 0; (n = std::fread(buffer, 1, sizeof buffer, pipe)) > 0;) result.out.append(buffer, n);
  const int status = ::pclose(pipe);
  result.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return result;
}

/// In single quotes for the shell.
inline std::string in_quotes(const std::string &text) { return "'" + text + "'"; }

}  // namespace stillbox
