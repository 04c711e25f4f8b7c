// SPDX-License-Identifier: MIT
#include "tests/benchmark/table_text.h"

#include <fmt/format.h>

#include "postprocess/text_table.h"

namespace stillbox {
namespace {

constexpr std::size_t width = 170;

std::string cell(double value, int digits) {
  return std::isfinite(value) ? fmt::format("{:.{}f}", value, digits) : "-";
}
std::string seconds(double value) { return cell(value, 2); }

const char *heading_of(RowGroup group) {
  switch (group) {
    case RowGroup::cases:
      return "cases:";
    case RowGroup::unknowns:
      return "over unknowns:";
    case RowGroup::modes:
      return "over modes asked for, one mesh:";
    case RowGroup::variants:
      return "variants of one case:";
  }
  return "";
}

std::string rows_table(const SuiteFigures &suite) {
  std::vector<std::vector<std::string>> lines;
  const RunFigures *before = nullptr;
  for (const RunFigures &r : suite.rows) {
    if (before && before->group != r.group) lines.push_back({""});
    if (!before || before->group != r.group) lines.push_back({heading_of(r.group)});
    before = &r;
    // Variants may be solved side by side: then the sum of their phases is more than the whole.
    const std::string rest = r.variants > 1 && r.other() < 0 ? "-" : seconds(r.other());
    lines.push_back({r.name, fmt::format("{}", r.variants), fmt::format("{:.0f}", r.up_to), fmt::format("{}", r.degree),
                     fmt::format("{:g}", r.fineness), fmt::format("{}", r.threads), fmt::format("{}", r.dofs),
                     fmt::format("{}", r.modes), seconds(r.mesh), seconds(r.assembly), seconds(r.factorisation),
                     seconds(r.eigen), seconds(r.post), seconds(r.files), rest, seconds(r.whole), seconds(r.processor),
                     cell(r.peak, 0)});
  }
  return text_table({{"", Align::left, 32},
                     {"vari-\nants"},
                     {"up to\nHz"},
                     {"de-\ngree"},
                     {"fine-\nness"},
                     {"\nthreads"},
                     {"\nunknowns"},
                     {"\nmodes"},
                     {"\nmesh"},
                     {"assem-\nbly"},
                     {"factori-\nsation"},
                     {"\neigen"},
                     {"post-\nproc."},
                     {"\nfiles"},
                     {"\nrest"},
                     {"\nwhole"},
                     {"proces-\nsor"},
                     {"peak\nMiB"}},
                    lines, width);
}

std::string bounds_table(const SuiteFigures &suite) {
  std::vector<std::vector<std::string>> lines;
  for (const SolveBounds &b : suite.bounds)
    for (const FactorBounds &f : b.factors) {
      const double pass = b.pass(f), blocks = std::ceil(double(b.right_hand_sides) / b.block);
      lines.push_back({f.kind, fmt::format("{}", b.threads), fmt::format("{}", b.dofs), seconds(f.factorise.clock),
                       seconds(f.single.clock), seconds(f.blocked.clock), cell(f.factor_bytes / (1 << 20), 0),
                       cell(b.bandwidth / (1 << 30), 1), cell(pass, 4),
                       cell(f.single.clock / b.right_hand_sides / pass, 1), cell(f.blocked.clock / blocks / pass, 1)});
    }
  if (lines.empty()) return "";
  const SolveBounds &b = suite.bounds.front();
  return text_table({{"factor of the matrix", Align::left},
                     {"\nthreads"},
                     {"\nunknowns"},
                     {"factori-\nsation"},
                     {fmt::format("{} solves\none by one", b.right_hand_sides)},
                     {fmt::format("the same\nby {}", b.block)},
                     {"factor\nMiB"},
                     {"memory\nGiB/s"},
                     {"one\npass"},
                     {"passes of\na solve"},
                     {fmt::format("of {} at\nonce", b.block)}},
                    lines, width);
}

std::string fits_table(const std::vector<NamedFit> &fits) {
  std::vector<std::vector<std::string>> lines;
  for (const NamedFit &f : fits)
    lines.push_back({f.what, f.over, f.rows, fmt::format("{}", f.fit.points), cell(f.fit.exponent, 2),
                     cell(f.fit.exponent_error, 2)});
  return text_table({{"grows as a power: of", Align::left},
                     {"over", Align::left},
                     {"rows", Align::left},
                     {"points"},
                     {"exponent"},
                     {"standard\nerror"}},
                    lines, width);
}

std::string bars_table(const std::vector<Bar> &bars) {
  std::vector<std::vector<std::string>> lines;
  for (const Bar &bar : bars)
    lines.push_back({bar.text, fmt::format("{:g} {}", bar.limit, bar.unit),
                     std::isfinite(bar.value) ? fmt::format("{:.4g} {}", bar.value, bar.unit) : "-", bar.verdict(),
                     bar.note});
  return text_table({{"bar", Align::left, 60},
                     {"at most", Align::left},
                     {"measured", Align::left},
                     {"", Align::left},
                     {"", Align::left}},
                    lines, width);
}

}  // namespace

std::string suite_table(const SuiteFigures &suite, const std::vector<NamedFit> &fits, const std::vector<Bar> &bars) {
  std::string text = rows_table(suite);
  text +=
      "\nTimes in s by the clock, but for the processor time. Threads: as many processors, and as many of the dense "
      "algebra.\n"
      "Post-processing: damping, energies, errors, faces. Files: VTK and picture of each variant. Rest: the whole less "
      "all of these:\n"
      "loading libraries, reading the case, pairing, the joint files, printing. Several variants: sums; where they are "
      "solved side by\n"
      "side the sums may exceed the whole. Peak: resident memory of the largest process, not of all together. Over "
      "modes: without\n"
      "damping, files and the start of the program; processor time and peak from the factorisation on.\n\n";
  const std::string bounds = bounds_table(suite);
  if (!bounds.empty())
    text += bounds +
            "\nOne pass: bytes of the factor over the rate at which one thread reads memory. A solve reads the factor "
            "twice, forwards and\nbackwards, so 2 passes are the least.\n\n";
  text += fits_table(fits) + "\n" + bars_table(bars);
  if (suite.small) text += "\nSizes are small: a try of the suite, no measurement.\n";
  for (const RunFigures &row : suite.rows)
    if (!row.failure.empty()) text += fmt::format("\nNot measured: {}: {}\n", row.name, row.failure);
  for (const SolveBounds &b : suite.bounds)
    if (!b.failure.empty()) text += fmt::format("\nNot measured: bounds, {} threads: {}\n", b.threads, b.failure);
  return text;
}

}  // namespace stillbox
