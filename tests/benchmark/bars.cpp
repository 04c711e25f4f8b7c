// SPDX-License-Identifier: MIT
#include "tests/benchmark/bars.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "tests/benchmark/plan.h"

namespace stillbox {
namespace {

const RunFigures *find_row(const SuiteFigures &suite, RowGroup group, const std::string &name, int threads) {
  for (const RunFigures &row : suite.rows)
    if (row.group == group && row.name == name && row.threads == threads && row.failure.empty()) return &row;
  return nullptr;
}

const char *thread_word(int threads) { return threads == 1 ? "thread" : "threads"; }

// The faster kind of factor counts.
void add_run_bars(const SuiteFigures &suite, std::vector<Bar> &bars) {
  for (const SolveBounds &b : suite.bounds) {
    Bar bar;
    bar.text = fmt::format("{}: whole run over one factorisation and {} right-hand sides in blocks of {}, {} {}",
                           stand_mount_row, b.right_hand_sides, b.block, b.threads, thread_word(b.threads));
    bar.limit = 2;
    const RunFigures *run = find_row(suite, RowGroup::cases, stand_mount_row, b.threads);
    if (run && b.failure.empty() && b.dofs == run->dofs) {
      double factorise = 1e300, blocked = 1e300, whole_blocks = 1e300, single = 1e300, processor = 1e300;
      for (const FactorBounds &f : b.factors) {
        factorise = std::min(factorise, f.factorise.clock);
        blocked = std::min(blocked, f.factorise.clock + f.blocked.clock);
        whole_blocks = std::min(whole_blocks, f.factorise.clock + b.block * f.blocked.clock);
        single = std::min(single, f.factorise.clock + f.single.clock);
        processor = std::min(processor, f.factorise.processor + f.blocked.processor);
      }
      bar.value = run->whole / blocked;
      bar.note = fmt::format(
          "by processor time {:.2f}; to {} solves one at a time {:.2f}; to as many solves of {} at once {:.2f}; its "
          "factorisation alone over that of the bound {:.2f}",
          run->processor / processor, b.right_hand_sides, run->whole / single, b.block, run->whole / whole_blocks,
          run->factorisation / factorise);
      if (run->modes > 0)
        bar.note += fmt::format("; mesh error as the program estimates it: worst {:.2f} %, mean {:.2f} %",
                                run->worst_error, run->mean_error);
    }
    bars.push_back(bar);
  }
}

void add_variant_bars(const SuiteFigures &suite, std::vector<Bar> &bars) {
  for (const RunFigures &all : suite.rows) {
    const auto rows = std::find_if(std::begin(variant_rows), std::end(variant_rows),
                                   [&](const VariantRows &r) { return all.name == r.all; });
    if (all.group != RowGroup::variants || rows == std::end(variant_rows)) continue;
    Bar bar;
    bar.text = fmt::format("{}: second and later variants over the first (each, on average), {} {}", all.name,
                           all.threads, thread_word(all.threads));
    bar.limit = 0.6;
    const RunFigures *first = find_row(suite, RowGroup::variants, rows->first, all.threads);
    if (first && all.failure.empty() && all.variants > 1) {
      const auto share = [&](double RunFigures::*time) {
        return (all.*time - first->*time) / (all.variants - 1) / (first->*time);
      };
      bar.value = share(&RunFigures::whole);
      bar.note = fmt::format("by processor time {:.2f}", share(&RunFigures::processor));
    }
    bars.push_back(bar);
  }
}

void add_memory_bars(const SuiteFigures &suite, std::vector<Bar> &bars) {
  Bar tall{fmt::format("{} to 1 kHz: peak memory", floor_stander_row), 1536, not_measured, "MiB", "", true};
  Bar large{"500 000 unknowns and more: peak memory", 8192, not_measured, "MiB", "", true};
  for (const RunFigures &row : suite.rows) {
    if (!row.failure.empty()) continue;
    if (row.group == RowGroup::cases && row.name == floor_stander_row && !(tall.value >= row.peak))
      tall.value = row.peak;
    if (row.dofs < 500000 || large.value >= row.peak) continue;
    large.value = row.peak;
    large.note = fmt::format("{}, {} unknowns", row.name, row.dofs);
  }
  bars.push_back(tall);
  bars.push_back(large);
}

}  // namespace

std::vector<NamedFit> fits_of(const SuiteFigures &suite) {
  std::vector<NamedFit> fits;
  std::map<int, int> of_degree;
  for (const RunFigures &row : suite.rows)
    if (row.group == RowGroup::unknowns) ++of_degree[row.degree];
  int degree = 0;
  for (const auto &[d, count] : of_degree)
    if (degree == 0 || count > of_degree[degree]) degree = d;
  const auto fit = [&](const std::string &what, double RunFigures::*figure, const std::string &over, RowGroup group,
                       long RunFigures::*count, int of) {
    std::vector<double> x, y;
    for (const RunFigures &row : suite.rows)
      if (row.group == group && row.failure.empty() && (of == 0 || row.degree == of)) {
        x.push_back(double(row.*count));
        y.push_back(row.*figure);
      }
    const std::string rows = of > 0 ? fmt::format("degree {}", of) : "all";
    fits.push_back({what, over, rows, fit_power(x, y)});
  };
  std::vector<int> sets{degree};
  if (of_degree.size() > 1) sets.push_back(0);
  for (const int of : sets) {
    fit("whole time", &RunFigures::whole, "unknowns", RowGroup::unknowns, &RunFigures::dofs, of);
    fit("processor time", &RunFigures::processor, "unknowns", RowGroup::unknowns, &RunFigures::dofs, of);
    fit("factorisation", &RunFigures::factorisation, "unknowns", RowGroup::unknowns, &RunFigures::dofs, of);
    fit("eigen", &RunFigures::eigen, "unknowns", RowGroup::unknowns, &RunFigures::dofs, of);
    fit("peak memory", &RunFigures::peak, "unknowns", RowGroup::unknowns, &RunFigures::dofs, of);
  }
  fit("whole time", &RunFigures::whole, "modes", RowGroup::modes, &RunFigures::modes, 0);
  fit("eigen", &RunFigures::eigen, "modes", RowGroup::modes, &RunFigures::modes, 0);
  fit("post-processing", &RunFigures::post, "modes", RowGroup::modes, &RunFigures::modes, 0);
  fit("peak memory", &RunFigures::peak, "modes", RowGroup::modes, &RunFigures::modes, 0);
  return fits;
}

std::string Bar::verdict() const {
  if (!is_judged) return "small sizes";
  if (!std::isfinite(value)) return "not measured";
  return value <= limit ? "met" : "not met";
}

std::vector<Bar> bars_of(const SuiteFigures &suite, const std::vector<NamedFit> &fits) {
  std::vector<Bar> bars;
  add_run_bars(suite, bars);
  add_variant_bars(suite, bars);
  add_memory_bars(suite, bars);
  Bar growth{"exponent of the whole time over unknowns", 1.5, not_measured, "", "", true};
  for (const NamedFit &fit : fits)
    if (fit.what == "whole time" && fit.over == "unknowns" && !std::isfinite(growth.value)) {
      growth.value = fit.fit.exponent;
      growth.note = fmt::format("{} sizes", fit.fit.points);
      if (std::isfinite(fit.fit.exponent_error))
        growth.note += fmt::format(", standard error {:.2f}", fit.fit.exponent_error);
    }
  bars.push_back(growth);
  if (suite.small)
    for (Bar &bar : bars) bar.is_judged = false;
  return bars;
}

}  // namespace stillbox
