// SPDX-License-Identifier: MIT
// stillbox_benchmark_part: what the benchmark measures inside a process of its own, as JSON.
//   stillbox_benchmark_part bounds CASE VARIANT UP_TO FINENESS DEGREE
//   stillbox_benchmark_part modes CASE VARIANT MESH_UP_TO FINENESS DEGREE UP_TO ...
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <stdexcept>

#include "mesh/case_file.h"
#include "tests/benchmark/figures_json.h"
#include "tests/benchmark/mesh_modes.h"
#include "tests/benchmark/solve_bounds.h"

namespace {

const stillbox::Structure &variant_named(const stillbox::CaseFile &file, const std::string &name) {
  for (const stillbox::Structure &s : file.variants)
    if (s.variant_name == name) return s;
  throw std::runtime_error(file.path + ": no variant \"" + name + "\"");
}

}  // namespace

int main(int argc, char **argv) {
  const std::string job = argc > 1 ? argv[1] : "";
  if ((job != "bounds" || argc != 7) && (job != "modes" || argc < 8)) {
    std::fputs("usage: stillbox_benchmark_part bounds|modes CASE VARIANT UP_TO FINENESS DEGREE [UP_TO ...]\n", stderr);
    return 2;
  }
  try {
    const stillbox::CaseFile file = stillbox::read_case(argv[2], STILLBOX_SOURCE_DIR "/cases/materials.toml");
    const stillbox::Structure &structure = variant_named(file, argv[3]);
    stillbox::SolveOptions options;
    options.up_to = std::atof(argv[4]);
    options.fineness = std::atof(argv[5]);
    options.degree = std::atoi(argv[6]);
    std::string text;
    if (job == "bounds") {
      text = stillbox::bounds_to_json(stillbox::measure_solve_bounds(structure, options));
    } else {
      std::vector<double> up_to;
      for (int i = 7; i < argc; ++i) up_to.push_back(std::atof(argv[i]));
      text = stillbox::rows_to_json(stillbox::measure_modes_on_mesh(structure, options, up_to));
    }
    return std::fputs(text.c_str(), stdout) < 0 ? 1 : 0;
  } catch (const std::exception &error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
