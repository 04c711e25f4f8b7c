// SPDX-License-Identifier: MIT
#include "postprocess/progress.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <cstdlib>

#include "postprocess/text.h"

namespace stillbox {
namespace {

std::size_t terminal_width(int descriptor) {
  winsize size{};
  if (::ioctl(descriptor, TIOCGWINSZ, &size) != 0 || size.ws_col < 8) return 80;
  return size.ws_col;
}

/// Progress is a courtesy: a terminal that has gone away must not stop the work.
void put(int descriptor, const std::string &text) {
  const ssize_t ignored = ::write(descriptor, text.data(), text.size());
  static_cast<void>(ignored);
}

}  // namespace

ProgressLine::ProgressLine(int file_descriptor) : descriptor(file_descriptor) {
  const char *kind = std::getenv("TERM");
  live = ::isatty(descriptor) == 1 && kind != nullptr && std::string(kind) != "dumb";
}

ProgressLine::~ProgressLine() { wipe_progress(*this); }

void show_progress(const ProgressLine &line, const std::string &text) {
  // "CSI K" (ECMA-48, erase in line) wipes what a longer line left behind.
  if (line.live) put(line.descriptor, "\r" + shorten(clean_text(text), terminal_width(line.descriptor) - 1) + "\x1b[K");
}

void wipe_progress(const ProgressLine &line) {
  if (line.live) put(line.descriptor, "\r\x1b[K");
}

}  // namespace stillbox
