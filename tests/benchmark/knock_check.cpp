// SPDX-License-Identifier: MIT
// Not part of the tests: how long the knocks at all points of the grid take once the modes are known (one second at 48
// kHz); then knocks by modes and residual against the direct complex solution at ten frequencies. Usage:
// stillbox_knock_check CASE VARIANT UP_TO_HZ FINENESS POINTS
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "mesh/case_file.h"
#include "solver/knock_response.h"
#include "solver/knock_solve.h"
#include "solver/stopwatch.h"
#include "tests/solver/compare_direct.h"

int main(int argc, char **argv) {
  if (argc != 6) {
    std::fprintf(stderr, "usage: stillbox_knock_check CASE VARIANT UP_TO_HZ FINENESS POINTS\n");
    return 2;
  }
  try {
    const stillbox::CaseFile file = stillbox::read_case(argv[1], STILLBOX_SOURCE_DIR "/cases/materials.toml");
    for (const stillbox::Structure &s : file.variants) {
      if (s.variant_name != argv[2]) continue;
      stillbox::SolveOptions options;
      options.up_to = std::atof(argv[3]);
      options.fineness = std::atof(argv[4]);
      {
        const stillbox::KnockSolution solution = stillbox::solve_knock(s, options, stillbox::knock_grid(s));
        stillbox::Stopwatch watch;
        double loudest = 0;
        stillbox::grid_knock(solution.model, {}, {}, [&](const stillbox::GridKnockBlock &block) {
          loudest = std::max(loudest, double(block.drive.cwiseAbs().maxCoeff()));
        });
        std::printf("grid of %d points, 1 s at 48 kHz: %.2f s; largest acceleration %.0f m/s2\n",
                    int(solution.model.points.size()), watch.lap(), loudest);
        std::fflush(stdout);
      }
      setenv("STILLBOX_TELL", "1", 1);
      const stillbox::Compared c = stillbox::compare_with_direct(
          s, options, std::atoi(argv[5]), {0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 0.75, 0.85, 0.95});
      std::printf(
          "%d paths, %d within 0.5 dB; %d are 25 dB above the floor, of these the worst is off by %.3f dB\n"
          "in the ringing form %d of these within 0.5 dB, worst %.3f dB\n",
          c.pairs, c.within, c.clear, c.worst, c.ringing_within, c.ringing_worst);
      return c.worst <= 0.5 ? 0 : 1;
    }
    std::fprintf(stderr, "no variant \"%s\"\n", argv[2]);
    return 2;
  } catch (const std::exception &error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
  }
}
