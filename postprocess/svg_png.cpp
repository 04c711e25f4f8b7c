// SPDX-License-Identifier: MIT
#include "postprocess/svg_png.h"

#include <fstream>

#include "postprocess/child_process.h"
#include "postprocess/safe_file.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

[[noreturn]] void fail(const std::string &why) { throw OutputError("the pictures", why); }

[[noreturn]] void fail_missing() {
  fail("rsvg-convert cannot be started; install the Debian package librsvg2-bin and see that it is on the PATH");
}

}  // namespace

std::string png_of(const std::string &svg) {
  const TemporaryFolder scratch;
  std::ofstream out(scratch.path / "picture.svg", std::ios::binary);
  out << svg;
  out.close();
  if (!out) fail(clean_text(scratch.path.string()) + ": the picture cannot be written; is the disk full?");
  const int code = run_program(scratch.path, {"rsvg-convert", "--zoom", "2", "--background-color", "white", "--output",
                                              "picture.png", "picture.svg"});
  if (code == no_program) fail_missing();
  const std::string png = bytes_of_file(scratch.path / "picture.png");
  if (code != 0 || png.empty()) {
    const std::string words = bytes_of_file(scratch.path / "messages");
    fail("rsvg-convert failed: " + shorten(clean_text(words.empty() ? "it said nothing" : words), 400));
  }
  return png;
}

void check_png() {
  const TemporaryFolder scratch;
  if (run_program(scratch.path, {"rsvg-convert", "--version"}) == no_program) fail_missing();
}

}  // namespace stillbox
