// SPDX-License-Identifier: MIT
#include "postprocess/gnuplot.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "postprocess/safe_file.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;
constexpr int no_program = 127;  // as shells have it
constexpr std::chrono::seconds patience{60};

[[noreturn]] void fail(const std::string &why) { throw OutputError("the pictures of the knock", why); }

/// A new folder that goes with all its files.
struct Scratch {
  fs::path path;
  Scratch() {
    std::error_code error;
    fs::path base = fs::temp_directory_path(error);
    if (error) fail("there is no folder for temporary files; set TMPDIR to one");
    std::string pattern = (base / "stillbox.XXXXXX").string();
    if (!::mkdtemp(pattern.data()))
      fail(clean_text(base.string()) + ": " + std::generic_category().message(errno) +
           "; set TMPDIR to a folder that can be written");
    path = pattern;
  }
  Scratch(const Scratch &) = delete;
  Scratch &operator=(const Scratch &) = delete;
  ~Scratch() {
    std::error_code ignored;
    fs::remove_all(path, ignored);
  }
};

std::string bytes_of(const fs::path &path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream out;
  out << in.rdbuf();
  return out.str();
}

/// Runs gnuplot in `folder` on a script there, or only asks for its version; its exit code, no_program, or -1.
int run(const fs::path &folder, const char *word, const char *script) {
  const std::string where = folder.string();
  const pid_t child = ::fork();
  if (child < 0) return -1;
  if (child == 0) {  // only calls that are safe between fork and exec
    if (::chdir(where.c_str()) != 0) ::_exit(126);
    const int in = ::open("/dev/null", O_RDONLY), out = ::open("messages", O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (in < 0 || out < 0 || ::dup2(in, 0) < 0 || ::dup2(out, 1) < 0 || ::dup2(out, 2) < 0) ::_exit(126);
    ::execlp("gnuplot", "gnuplot", word, script, static_cast<char *>(nullptr));
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
      fail(fmt::format("gnuplot did not end within {} s", patience.count()));
    }
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

[[noreturn]] void fail_missing() {
  fail("gnuplot cannot be started; install the Debian package gnuplot-nox and see that it is on the PATH");
}

/// The content of the first `element` replaced; gnuplot gives every SVG the same title and description.
std::string with_content(std::string svg, const std::string &element, const std::string &text) {
  const std::string open = "<" + element + ">", close = "</" + element + ">";
  const std::size_t at = svg.find(open), end = svg.find(close);
  if (at == std::string::npos || end == std::string::npos || end < at) return svg;
  return svg.replace(at + open.size(), end - at - open.size(), escape_xml(text));
}

}  // namespace

std::string gnuplot_string(const std::string &text) {
  std::string out = "'";
  for (const char c : clean_text(text)) {
    if (c == '\'') out += c;
    out += c;
  }
  return out + "'";
}

Plot draw_with_gnuplot(const std::string &commands, const PlotSize &size, const std::string &title) {
  const Scratch scratch;
  {
    std::ofstream script(scratch.path / "script", std::ios::binary);
    script << "set encoding utf8\n"
           << fmt::format(
                  "set terminal svg size {0},{1} dynamic noenhanced font 'Helvetica,DejaVu Sans,13' "
                  "background rgb 'white'\nset output 'plot.svg'\n",
                  size.width, size.height)
           << commands
           << fmt::format(
                  "\nunset output\nreset\nset terminal pngcairo size {0},{1} noenhanced font 'DejaVu Sans,11' "
                  "fontscale 1.8 linewidth 2 background rgb 'white'\nset output 'plot.png'\n",
                  2 * size.width, 2 * size.height)
           << commands << "\nunset output\n";
    script.close();
    if (!script)
      fail(clean_text(scratch.path.string()) + ": the script for gnuplot cannot be written; is the disk full?");
  }
  const int code = run(scratch.path, "-d", "script");
  if (code == no_program) fail_missing();
  Plot plot{bytes_of(scratch.path / "plot.svg"), bytes_of(scratch.path / "plot.png")};
  if (code != 0 || plot.svg.find("</svg>") == std::string::npos || plot.png.empty()) {
    const std::string words = bytes_of(scratch.path / "messages");
    fail("gnuplot failed: " + shorten(clean_text(words.empty() ? "it said nothing" : words), 400));
  }
  plot.svg = with_content(with_content(plot.svg, "title", title), "desc", "A prediction, not a measurement.");
  return plot;
}

void check_gnuplot() {
  const Scratch scratch;
  if (run(scratch.path, "--version", nullptr) == no_program) fail_missing();
}

}  // namespace stillbox
