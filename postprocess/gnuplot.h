// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// Size of a plot in pixels of the SVG; the PNG has twice as many each way.
struct PlotSize {
  int width = 1000, height = 700;
};

struct Plot {
  std::string svg, png;  ///< the bytes of the files
};

/// Text as a gnuplot string in single quotes, in which nothing is expanded (no commands in backquotes, no macros):
/// cleaned of control characters (text.h), quotes doubled.
std::string gnuplot_string(const std::string &text);

/// Draws `commands` (everything but terminal and output) twice, or as SVG only. gnuplot runs without a shell and
/// without start-up files, in a folder of its own that is removed again, for at most a minute. `title` becomes the
/// SVG's title. Errors: OutputError that says what went wrong (gnuplot missing, failed with its own words, or too
/// slow).
Plot draw_with_gnuplot(const std::string &commands, const PlotSize &size, const std::string &title,
                       bool with_png = true);

/// Throws the OutputError that draw_with_gnuplot would throw when gnuplot is missing: to be found before long work.
void check_gnuplot();

}  // namespace stillbox
