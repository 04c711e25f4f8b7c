// SPDX-License-Identifier: MIT
#include "postprocess/converge_command.h"

#include <fmt/format.h>

#include <cmath>
#include <cstdlib>

#include "mesh/keys.h"
#include "postprocess/chosen_variants.h"
#include "postprocess/converge.h"
#include "postprocess/gnuplot.h"
#include "postprocess/progress.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/solids_rules.h"
#include "postprocess/text.h"
#include "postprocess/toml_text.h"
#include "solver/modes.h"

namespace stillbox {
namespace {

std::vector<double> increasing_list(const std::string &text, const char *option, const Key &key, bool whole) {
  const auto refuse = [&](const std::string &why) {
    return CaseError(
        fmt::format("converge: {}: value {}; allowed: 2 .. 8 increasing numbers of {}, with commas "
                    "between; {}",
                    option, toml_string(text), range_text_of(key), why));
  };
  std::vector<double> values;
  for (const std::string &cell : comma_cells(text)) {
    char *end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    if (cell.empty() || *end != '\0' || !(value >= key.low && value <= key.high))
      throw refuse("\"" + clean_text(cell) + "\" is not such a number");
    if (whole && value != std::floor(value)) throw refuse("degrees are whole numbers");
    if (!values.empty() && value <= values.back()) throw refuse("list them from coarse to fine");
    values.push_back(value);
  }
  if (values.size() < 2 || values.size() > 8) throw refuse("three or more tell an order");
  return values;
}

std::vector<ConvergeLevel> levels_of(const CaseFile &file, const ConvergeOptions &options) {
  const Key &fineness = *find_key({"mesh"}, "fineness"), &degree = *find_key({"mesh"}, "degree");
  if (!options.fineness.empty() && !options.degrees.empty())
    throw CaseError("converge: --fineness and --degrees: only one of the two may change; leave one out");
  const int degree_of_case = options.degree > 0     ? options.degree
                             : file.mesh.degree > 0 ? file.mesh.degree
                                                    : usual_degree_of(file);
  std::vector<ConvergeLevel> levels;
  if (!options.degrees.empty()) {
    for (const double d : increasing_list(options.degrees, "--degrees", degree, true))
      levels.push_back({file.mesh.fineness, int(d)});
  } else {
    const std::string list = options.fineness.empty() ? "0.75, 1.1, 1.6" : options.fineness;
    for (const double f : increasing_list(list, "--fineness", fineness, false)) levels.push_back({f, degree_of_case});
  }
  return levels;
}

}  // namespace

std::string run_converge(const CaseFile &file, const ConvergeOptions &options) {
  std::vector<std::string> wanted;
  if (!options.variant.empty()) wanted.push_back(options.variant);
  const Structure &structure = *chosen_variants(file, wanted).front();
  const std::vector<ConvergeLevel> levels = levels_of(file, options);
  for (const ConvergeLevel &level : levels) check_degree(file, level.degree);
  if (!options.out.empty()) {
    check_writable_later(options.out);
    check_gnuplot();
  }
  ProgressLine line;
  std::vector<ModalResult> results;
  for (std::size_t l = 0; l < levels.size(); ++l) {
    SolveOptions o;
    o.up_to = options.up_to > 0 ? options.up_to : file.mesh.up_to;
    o.fineness = levels[l].fineness;
    o.degree = levels[l].degree;
    o.damping = Damping::energy;  // loss factors are not looked at
    o.progress = [&](const std::string &step) {
      show_progress(line, fmt::format("mesh {} of {}: {}", l + 1, levels.size(), step));
    };
    results.push_back(solve_modes(structure, o));
    results.back().field = {};  // the largest part, and nothing here draws shapes
  }
  wipe_progress(line);
  const Convergence c = convergence(levels, results, std::size_t(options.modes));
  std::string text = converge_text(c);
  if (!options.out.empty()) {
    check_writable(options.out, FolderUse::after_work);
    write_file(options.out + "/converge.csv", converge_csv(c));
    write_file(options.out + "/converge.json", converge_json(c));
    const std::string picture = converge_picture(c);
    if (!picture.empty()) write_file(options.out + "/converge.svg", picture);
    text += fmt::format("\nFiles are in {}\n", clean_text(options.out));
  }
  return options.json ? converge_json(c) : text;
}

}  // namespace stillbox
