// SPDX-License-Identifier: MIT
#include "postprocess/standard_streams.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdio>
#include <iostream>

#include "postprocess/safe_file.h"

namespace stillbox {
namespace {

[[noreturn]] void fail(int error) {
  const std::error_code code(error, std::generic_category());
  throw OutputError("standard output", code.message(), code);
}

}  // namespace

void hold_standard_streams() {
  std::signal(SIGXFSZ, SIG_IGN);
  for (int number = 0; number <= 2; ++number)
    if (::fcntl(number, F_GETFD) < 0 && errno == EBADF) {
      // Numbers are given out from below, so this one is `number`. Output is opened for reading so that writing fails.
      const int taken = ::open("/dev/null", number == 0 ? O_WRONLY : O_RDONLY);
      if (taken > 2) ::close(taken);
    }
}

void print_text(const std::string &text) {
  errno = 0;
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size()) fail(errno ? errno : EIO);
}

void finish_printing() {
  errno = 0;
  std::cout.flush();  // help is printed there
  if (!std::cout || std::fflush(stdout) != 0 || std::ferror(stdout)) fail(errno ? errno : EIO);
}

}  // namespace stillbox
