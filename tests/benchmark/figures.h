// SPDX-License-Identifier: MIT
#pragma once
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace stillbox {

constexpr double not_measured = std::numeric_limits<double>::quiet_NaN();

/// What rows of the table are for.
enum class RowGroup { cases, unknowns, modes, variants };

/// One row: a run of the program and where its time went, all times in s by the clock unless said otherwise.
struct RunFigures {
  RowGroup group = RowGroup::cases;
  std::string name;
  double up_to = 0;  ///< Hz
  double fineness = 1;
  int degree = 3, threads = 1;
  int variants = 1;
  long dofs = 0, modes = 0;  ///< of several variants the sums
  double mesh = not_measured, assembly = not_measured, factorisation = not_measured, eigen = not_measured;
  double post = not_measured;   ///< damping, energies, errors, faces
  double files = not_measured;  ///< VTK and picture of each variant
  double whole = not_measured;  ///< from the start of the process to its end
  double processor = not_measured;
  double peak = not_measured;                                    ///< MiB; of the largest process
  double worst_error = not_measured, mean_error = not_measured;  ///< per cent, estimated, of the frequencies
  std::string failure;                                           ///< why there are no figures

  /// Reading the case, loading libraries, pairing, joint files, printing: what no other figure holds.
  double other() const { return whole - (mesh + assembly + factorisation + eigen + post + files); }
};

/// A time twice: by the clock and of the processors, in s.
struct TwoTimes {
  double clock = not_measured, processor = not_measured;
};

/// Bounds of one kind of factor of K - (2 pi up_to)^2 M, see measure_solve_bounds.
struct FactorBounds {
  std::string kind;
  TwoTimes factorise, single, blocked;  ///< one factorisation; right_hand_sides solves one at a time; in blocks
  double factor_bytes = 0;
};

struct SolveBounds {
  int threads = 1, right_hand_sides = 60, block = 6;
  long dofs = 0;
  double bandwidth = not_measured;  ///< bytes/s, one thread reading memory
  std::vector<FactorBounds> factors;
  std::string failure;

  /// One pass over a factor, s.
  double pass(const FactorBounds &f) const { return f.factor_bytes / bandwidth; }
};

}  // namespace stillbox
