// SPDX-License-Identifier: MIT
#include "tests/benchmark/solve_bounds.h"

#include <algorithm>
#include <array>
#include <random>

#include "solver/element_entry.h"
#include "solver/ranks.h"
#include "solver/stopwatch.h"
#include "tests/benchmark/own_use.h"

namespace stillbox {
namespace {

template <typename Work>
TwoTimes time_of(Work work) {
  const double before = own_processor_seconds();
  Stopwatch watch;
  work();
  TwoTimes times;
  times.clock = watch.lap();
  times.processor = own_processor_seconds() - before;
  return times;
}

TwoTimes time_of_solves(const SparseFactor &factor, Eigen::Index unknowns, int right_hand_sides, int block) {
  std::mt19937 random(1);
  std::normal_distribution<double> normal;
  Eigen::MatrixXd loads(unknowns, block), x;
  for (Eigen::Index i = 0; i < loads.size(); ++i) loads.data()[i] = normal(random);
  TwoTimes sum{0, 0};
  for (int done = 0; done < right_hand_sides; done += block) {
    x = loads;  // not counted
    const TwoTimes one = time_of([&] { factor.solve(x); });
    sum.clock += one.clock;
    sum.processor += one.processor;
  }
  return sum;
}

}  // namespace

double measure_bandwidth(double bytes) {
  constexpr std::size_t lanes = 8;  // sums side by side, so that adding does not take longer than reading
  const std::size_t count = std::max<std::size_t>(std::size_t(bytes / sizeof(double)) / lanes, 1) * lanes;
  std::vector<double> data(count, 1.0);
  double least = 1e300, all = 0;
  for (int pass = 0; pass < 5; ++pass) {
    Stopwatch watch;
    std::array<double, lanes> sums{};
    for (std::size_t i = 0; i < count; i += lanes)
      for (std::size_t k = 0; k < lanes; ++k) sums[k] += data[i + k];
    least = std::min(least, watch.lap());
    for (const double sum : sums) all += sum;
  }
  if (all != 5.0 * double(count)) throw SolveError("memory does not give back what was written");  // also uses the sums
  return double(count * sizeof(double)) / least;
}

SolveBounds measure_solve_bounds(const Structure &structure, const SolveOptions &options, int right_hand_sides,
                                 int block) {
  start_mpi();  // a quarter of a second that is no part of the first factorisation
  SolveReport report;
  const Model m = build_model(structure, options, report);
  const double omega = 2 * M_PI * options.up_to;
  const std::vector<int> &inner = m.unknowns.inner_start, &blocks = m.unknowns.block_start;
  SolveBounds bounds;
  bounds.right_hand_sides = right_hand_sides;
  bounds.block = block;
  bounds.dofs = m.unknowns.count;
  for (const bool condensed : {false, true}) {
    FactorBounds f;
    f.kind = condensed ? "single cells condensed" : "as it is";
    SparseMatrix shifted = m.system.stiffness - SparseMatrix(m.system.mass * (omega * omega));
    std::unique_ptr<SparseFactor> factor;
    f.factorise = time_of([&] {
      const std::vector<int> order = dissection_order(m.system, blocks, condensed ? inner.front() : m.unknowns.count);
      factor = condensed ? std::make_unique<SparseFactor>(shifted, order, inner, false,
                                                          unknowns_of_blocks(m.system.cells, blocks, inner.front()))
                         : std::make_unique<SparseFactor>(shifted, order, std::vector<int>{}, false);
    });
    f.factor_bytes = factor->bytes();
    f.single = time_of_solves(*factor, bounds.dofs, right_hand_sides, 1);
    f.blocked = time_of_solves(*factor, bounds.dofs, right_hand_sides, block);
    bounds.factors.push_back(f);
  }
  bounds.bandwidth = measure_bandwidth(std::clamp(bounds.factors.back().factor_bytes, 64.0 * (1 << 20), 1e9));
  return bounds;
}

}  // namespace stillbox
