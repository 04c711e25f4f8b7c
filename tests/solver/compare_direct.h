// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "solver/direct_response.h"
#include "solver/knock_points.h"
#include "solver/knock_response.h"
#include "solver/knock_solve.h"

// Modes and residual set against the direct complex solution, path by path.

namespace stillbox {

/// Levels of all transfer paths between the points of a grid.
struct Compared {
  int pairs = 0, within = 0;  ///< transfer paths at all frequencies; those within 0.5 dB
  int clear = 0;              ///< those 25 dB and more above the floor: there it can move a level by 0.5 dB
  int ringing_within = 0;     ///< of the clear ones, by the formula with poles in conjugate pairs
  double worst = 0;           ///< dB, of the clear ones
  double ringing_worst = 0;

  void add(const Compared &other) {
    pairs += other.pairs;
    within += other.within;
    clear += other.clear;
    ringing_within += other.ringing_within;
    worst = std::max(worst, other.worst);
    ringing_worst = std::max(ringing_worst, other.ringing_worst);
  }
};

/// `parts`: frequencies over up_to. With STILLBOX_TELL set it prints a line for each.
inline Compared compare_with_direct(const Structure &s, const SolveOptions &options, int least_points,
                                    const std::vector<double> &parts) {
  const std::vector<KnockPoint> points = knock_grid(s, least_points);
  const KnockSolution knock = solve_knock(s, options, points);
  SolveReport report;
  const Model m = build_model(s, options, report);
  const SampleColumns columns = point_columns(m, points);
  using Complex = std::complex<double>;
  const auto level = [](Complex a, Complex b) { return std::abs(20 * std::log10(std::abs(a) / std::abs(b))); };
  Compared c;
  for (double part : parts) {
    const Eigen::VectorXd frequency = Eigen::VectorXd::Constant(1, part * options.up_to);
    const Eigen::MatrixXcd direct = direct_receptance(m, columns, columns, frequency[0]);
    Compared at;
    for (int d = 0; d < int(points.size()); ++d) {
      const Eigen::MatrixXcd modal =
                                 transfer_spectra(knock.model, Motion::displacement, d, frequency, Losses::structural),
                             ringing = transfer_spectra(knock.model, Motion::displacement, d, frequency);
      for (int r = 0; r < int(points.size()); ++r) {
        const double off = level(modal(r, 0), direct(r, d)), ringing_off = level(ringing(r, 0), direct(r, d));
        ++at.pairs;
        at.within += off <= 0.5;
        if (std::abs(direct(r, d)) < 17 * truncation_floor(knock, r, d, frequency[0])) continue;
        ++at.clear;
        at.ringing_within += ringing_off <= 0.5;
        at.worst = std::max(at.worst, off);
        at.ringing_worst = std::max(at.ringing_worst, ringing_off);
      }
    }
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    %.0f Hz: %d of %d within 0.5 dB; 25 dB above the floor %d, worst %.3f dB, as ringing %.3f dB\n",
                  frequency[0], at.within, at.pairs, at.clear, at.worst, at.ringing_worst);
    c.add(at);
  }
  return c;
}

}  // namespace stillbox
