// SPDX-License-Identifier: MIT
#include "postprocess/gnuplot.h"

#include <fmt/format.h>

#include <fstream>

#include "postprocess/child_process.h"
#include "postprocess/safe_file.h"
#include "postprocess/text.h"

namespace stillbox {
namespace {

[[noreturn]] void fail(const std::string &why) { throw OutputError("the pictures", why); }

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

Plot draw_with_gnuplot(const std::string &commands, const PlotSize &size, const std::string &title, bool with_png) {
  const TemporaryFolder scratch;
  {
    std::ofstream script(scratch.path / "script", std::ios::binary);
    script << "set encoding utf8\n"
           << fmt::format(
                  "set terminal svg size {0},{1} dynamic noenhanced font 'Helvetica,DejaVu Sans,13' "
                  "background rgb 'white'\nset output 'plot.svg'\n",
                  size.width, size.height)
           << commands << "\nunset output\n";
    if (with_png)
      script << fmt::format(
                    "reset\nset terminal pngcairo size {0},{1} noenhanced font 'DejaVu Sans,11' "
                    "fontscale 1.8 linewidth 2 background rgb 'white'\nset output 'plot.png'\n",
                    2 * size.width, 2 * size.height)
             << commands << "\nunset output\n";
    script.close();
    if (!script)
      fail(clean_text(scratch.path.string()) + ": the script for gnuplot cannot be written; is the disk full?");
  }
  const int code = run_program(scratch.path, {"gnuplot", "-d", "script"});
  if (code == no_program) fail_missing();
  Plot plot{bytes_of_file(scratch.path / "plot.svg"), bytes_of_file(scratch.path / "plot.png")};
  if (code != 0 || plot.svg.find("</svg>") == std::string::npos || (with_png && plot.png.empty())) {
    const std::string words = bytes_of_file(scratch.path / "messages");
    fail("gnuplot failed: " + shorten(clean_text(words.empty() ? "it said nothing" : words), 400));
  }
  plot.svg = with_content(with_content(plot.svg, "title", title), "desc", "A prediction, not a measurement.");
  return plot;
}

void check_gnuplot() {
  const TemporaryFolder scratch;
  if (run_program(scratch.path, {"gnuplot", "--version"}) == no_program) fail_missing();
}

}  // namespace stillbox
