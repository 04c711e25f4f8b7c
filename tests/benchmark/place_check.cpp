// SPDX-License-Identifier: MIT
// The reduced model of a row against full solutions on meshes of their own, at random places:
//   stillbox_place_check CASE UP_TO FINENESS PLACES [SEED [TOLERANCE]]
// CASE has a [place] table; its first line is taken. Prints times by the clock and the error of every frequency.
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <random>

#include "mesh/case_file.h"
#include "mesh/case_place.h"
#include "solver/place_model.h"

using namespace stillbox;

namespace {

double seconds_now() {
  return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count();
}

}  // namespace

int main(int argc, char **argv) {
  if (argc < 5) {
    std::fprintf(stderr, "usage: stillbox_place_check CASE UP_TO FINENESS PLACES [SEED [TOLERANCE]]\n");
    return 2;
  }
  try {
    const std::string materials = STILLBOX_SOURCE_DIR "/cases/materials.toml";
    const CaseFile file = read_case(argv[1], materials);
    const CaseTrees trees = load_case_trees(argv[1], materials);
    Problems problems;
    std::vector<std::string> names;
    for (const Structure &s : file.variants) names.push_back(s.variant_name);
    const Node tree = load_tree(argv[1]);
    const PlaceRequest request = read_place_request({&problems, &tree, "", {"case"}}, names);
    const PlaceLine line = place_lines(request).front();
    SolveOptions options;
    options.up_to = std::atof(argv[2]);
    options.fineness = std::atof(argv[3]);
    const auto at = [&](double p) {
      Structure s = changed_structure(trees, request.variant, place_changes(request, line, p), problems);
      if (!problems.list.empty()) throw CaseError(problems.message());
      return s;
    };
    const double low = line.along.front(), high = line.along.back();
    const std::vector<double> nodes = place_nodes(low, high, 9);
    std::vector<Structure> structures;
    for (double p : nodes) structures.push_back(at(p));
    double start = seconds_now();
    SolveOptions told = options;
    told.progress = [&](const std::string &step) {
      if (step.rfind("modes:", 0) != 0) std::printf("  %7.1f s  %s\n", seconds_now() - start, step.c_str());
    };
    const PlaceModel model = make_place_model(structures, nodes, told, argc > 6 ? std::atof(argv[6]) : 2e-2);
    const double making = seconds_now() - start;
    start = seconds_now();
    for (int i = 0; i < 100; ++i) place_modes(model, low + (high - low) * (i + 0.5) / 100);
    const double hundred = seconds_now() - start;
    std::printf(
        "row %g .. %g mm, %d vectors, %d full solutions, doubt %.3f %%, interpolation %.3f %%, %d nodes; making %.1f "
        "s, 100 places %.1f s\n",
        low, high, int(model.mass[0].rows()), model.solutions, 100 * model.doubt, 100 * model.interpolation,
        int(model.nodes.size()), making, hundred);
    std::mt19937 random(argc > 5 ? unsigned(std::atoi(argv[5])) : 1);
    std::uniform_real_distribution<double> uniform(low, high);
    double worst = 0, full = 0;
    const int places = std::atoi(argv[4]);
    for (int i = 0; i < places; ++i) {
      const double p = uniform(random);
      const PlaceModes reduced = place_modes(model, p);
      start = seconds_now();
      const PlaceModes exact = place_modes_in_full(at(p), options);
      full += seconds_now() - start;
      double error = 0, first = 0;
      const auto count = std::min(reduced.frequency.size(), exact.frequency.size());
      for (int k = 0; k < count; ++k) {
        const double e = reduced.frequency[k] / exact.frequency[k] - 1;
        if (k == 0) first = e;
        if (std::abs(e) > std::abs(error)) error = e;
      }
      worst = std::max(worst, std::abs(error));
      std::printf("  %8.3f mm: %d and %d modes, first %.2f Hz, error first %+.3f %%, worst %+.3f %%\n", p,
                  int(reduced.frequency.size()), int(exact.frequency.size()), exact.frequency[0], 100 * first,
                  100 * error);
      std::fflush(stdout);
    }
    if (places > 0)
      std::printf("worst of all %.3f %%; a full solution takes %.1f s; 100 places take %.1f full solutions\n",
                  100 * worst, full / places, (making + hundred) / (full / places));
  } catch (const std::exception &error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
  return 0;
}
