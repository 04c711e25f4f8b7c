// SPDX-License-Identifier: MIT
// Text, files and picture of converge.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "mesh/length.h"
#include "postprocess/converge.h"
#include "postprocess/gnuplot.h"
#include "postprocess/modes_json.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

std::string level_words(const Convergence &c, const ConvergeLevel &level) {
  return c.by_degree ? fmt::format("degree\n{}", level.degree)
                     : fmt::format("fineness\n{}", number_text(level.fineness));
}

std::string hertz(double f) { return std::isfinite(f) ? fmt::format("{:.3f}", f) : "-"; }

std::string cell_number(double value) { return std::isfinite(value) ? fmt::format("{:.9g}", value) : ""; }

/// True when the finest mesh estimates far more error for a mode than its row of meshes has left.
bool keeps_error(const Convergence &c) {
  return std::any_of(c.modes.begin(), c.modes.end(), [](const ConvergedMode &mode) {
    const std::size_t n = mode.frequency.size();
    const double last_step = std::abs(mode.frequency[n - 2] / mode.frequency[n - 1] - 1);
    return n >= 3 && mode.estimated > 1e-4 && mode.estimated > 3 * last_step;
  });
}

}  // namespace

std::string converge_text(const Convergence &c) {
  std::vector<Column> columns{{"no"}};
  for (const ConvergeLevel &level : c.levels) columns.push_back({level_words(c, level)});
  if (!c.by_degree) {
    columns.push_back({"order"});
    columns.push_back({"limit\nHz"});
    columns.push_back({"finest\noff %"});
  } else {
    columns.push_back({"last\nstep %"});
  }
  columns.push_back({"mesh\nerror %"});
  columns.push_back({"shape", Align::left});
  std::vector<std::vector<std::string>> rows;
  for (std::size_t m = 0; m < c.modes.size(); ++m) {
    const ConvergedMode &mode = c.modes[m];
    std::vector<std::string> row{std::to_string(m + 1)};
    for (const double f : mode.frequency) row.push_back(hertz(f));
    const double finest = mode.frequency.back();
    if (c.by_degree) {
      const double before = mode.frequency[mode.frequency.size() - 2];
      row.push_back(std::isfinite(before) ? fmt::format("{:.3f}", 100 * (before / finest - 1)) : "-");
    } else if (mode.observed) {
      row.insert(row.end(), {fmt::format("{:.2f}", mode.observed->order), hertz(mode.observed->limit),
                             fmt::format("{:.3f}", 100 * (finest / mode.observed->limit - 1))});
    } else {
      row.insert(row.end(), {"-", "-", "-"});
    }
    row.push_back(fmt::format("{:.3f}", 100 * mode.estimated));
    row.push_back(clean_text(mode.label));
    rows.push_back(row);
  }
  std::string out = fmt::format("{}: {}\n", clean_text(c.case_name), clean_text(c.variant_name));
  for (const ConvergeLevel &level : c.levels)
    out += fmt::format("  fineness {}, degree {}: {} elements, {} unknowns\n", number_text(level.fineness),
                       level.degree, level.cells, level.unknowns);
  out += "\n" + text_table(columns, rows, table_width) + "\n";
  if (c.by_degree) {
    out +=
        paragraph("  ",
                  "last step: how far the last degree but one lies above the highest. Elements of a higher degree are "
                  "larger, so a step may also go the other way; the finer of two answers is the lower one.",
                  table_width);
  } else {
    out += paragraph(
        "  ",
        fmt::format(
            "order: from the last three meshes, f = limit + c h^order, h by the number of elements. Where shapes "
            "are smooth it is twice the degree, here {}; the inner corners of joints, clamped edges and held or "
            "free rims make it lower. -: the meshes are too alike or too coarse to tell, so there is no limit "
            "either. A limit further off than the last step is a guess.",
            2 * c.levels.back().degree),
        table_width);
    out +=
        paragraph("  ",
                  "Fineness refines in the plane of the boards; through the thickness and beside joints the elements "
                  "stay as they are, so the limit is that of this degree and keeps their error.",
                  table_width);
    if (keeps_error(c))
      out +=
          paragraph("  ",
                    "Here the finest mesh estimates more error than the row has left, so this error is the larger one: "
                    "set a higher --degree beside it, or --degrees.",
                    table_width);
    if (c.levels.front().fineness < 0.75 && c.levels.back().fineness >= 0.75)
      out +=
          paragraph("  ",
                    "Below fineness 0.75 joined boards have one element through the thickness, above it two: the row "
                    "is not one of the same kind.",
                    table_width);
  }
  out +=
      paragraph("  ",
                "mesh error: what the finest mesh says of itself. All this is the error of the mesh; boards differ by "
                "more.",
                table_width);
  return out;
}

std::string converge_csv(const Convergence &c) {
  std::string out = csv_line({"mode", "label", "fineness", "degree", "cells", "unknowns", "frequency_hz",
                              "mesh_error_percent", "order", "limit_hz"});
  for (std::size_t m = 0; m < c.modes.size(); ++m)
    for (std::size_t l = 0; l < c.levels.size(); ++l) {
      const ConvergedMode &mode = c.modes[m];
      const ConvergeLevel &level = c.levels[l];
      const bool is_finest = l + 1 == c.levels.size();
      out += csv_line({std::to_string(m + 1), mode.label, number_text(level.fineness), std::to_string(level.degree),
                       std::to_string(level.cells), std::to_string(level.unknowns), cell_number(mode.frequency[l]),
                       is_finest ? cell_number(100 * mode.estimated) : "",
                       mode.observed ? cell_number(mode.observed->order) : "",
                       mode.observed ? cell_number(mode.observed->limit) : ""});
    }
  return out;
}

std::string converge_json(const Convergence &c) {
  using Json = nlohmann::ordered_json;
  const auto finite = [](double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); };
  Json levels = Json::array(), modes = Json::array();
  for (const ConvergeLevel &level : c.levels)
    levels.push_back({{"fineness", level.fineness},
                      {"degree", level.degree},
                      {"cells", level.cells},
                      {"unknowns", level.unknowns},
                      {"relative_size", level.size}});
  for (std::size_t m = 0; m < c.modes.size(); ++m) {
    const ConvergedMode &mode = c.modes[m];
    Json frequencies = Json::array();
    for (const double f : mode.frequency) frequencies.push_back(finite(f));
    modes.push_back({{"mode", m + 1},
                     {"label", clean_text(mode.label)},
                     {"frequency_hz", frequencies},
                     {"mesh_error_percent", finite(100 * mode.estimated)},
                     {"order", mode.observed ? finite(mode.observed->order) : Json(nullptr)},
                     {"limit_hz", mode.observed ? finite(mode.observed->limit) : Json(nullptr)}});
  }
  const Json json = {{"schema", "stillbox converge 1"},
                     {"case", clean_text(c.case_name)},
                     {"variant", clean_text(c.variant_name)},
                     {"limit_of",
                      "refinement in the plane of the boards at this degree; the elements through the "
                      "thickness and beside joints stay as they are"},
                     {"levels", levels},
                     {"modes", modes}};
  return json.dump(2) + "\n";
}

std::string converge_picture(const Convergence &c) {
  std::string data, plots;
  int lines = 0;
  for (std::size_t m = 0; m < c.modes.size() && lines < 8; ++m) {
    const ConvergedMode &mode = c.modes[m];
    if (!mode.observed) continue;
    const std::string name = fmt::format("$mode{}", m + 1);
    data += name + " << EOD\n";
    for (std::size_t l = 0; l < c.levels.size(); ++l) {
      const double off = 100 * std::abs(mode.frequency[l] / mode.observed->limit - 1);
      if (std::isfinite(off) && off > 0) data += fmt::format("{:.9g} {:.9g}\n", c.levels[l].size, off);
    }
    data += "EOD\n";
    plots +=
        (plots.empty() ? "plot " : ", ") + name + fmt::format(" with linespoints pt 7 lw 1.5 title ") +
        gnuplot_string(fmt::format("{}: {:.1f} Hz, order {:.1f}", m + 1, mode.observed->limit, mode.observed->order));
    ++lines;
  }
  if (plots.empty()) return "";
  const std::string title = clean_text(c.case_name) + ": " + clean_text(c.variant_name);
  const std::string commands =
      data +
      "set logscale xy\nset grid lc rgb '#d8d8d8'\nset key outside right\n"
      "set xlabel 'element size over the finest mesh''s'\nset ylabel 'off the limit, %'\n"
      "set format y '%g'\nset xtics (1, 1.2, 1.5, 2, 2.5, 3, 4, 6, 8)\nset xrange [*:*] noextend\nset title " +
      gnuplot_string(shorten(title, 80)) + " noenhanced\n" + plots + "\n";
  return draw_with_gnuplot(commands, {900, 560}, title + ", error of the mesh").svg;
}

}  // namespace stillbox
