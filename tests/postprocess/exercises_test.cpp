// SPDX-License-Identifier: MIT
// The answers of cases/exercises.md, each computed again.
#include <cmath>
#include <map>

#include "postprocess/converge.h"
#include "postprocess/toml_text.h"
#include "solver/modes.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

struct ExerciseRow {
  std::string answer, file, variant, up_to;
  std::size_t mode = 0;
  double hertz = 0;
};

std::vector<ExerciseRow> rows_of_guide() {
  std::ifstream guide(STILLBOX_SOURCE_DIR "/cases/exercises.md");
  std::vector<ExerciseRow> rows;
  for (std::string line; std::getline(guide, line);) {
    if (line.rfind("| ", 0) != 0 || line.find(".toml |") == std::string::npos) continue;
    std::vector<std::string> cells;
    std::size_t from = 1;
    for (std::size_t at = line.find('|', from); at != std::string::npos; at = line.find('|', from)) {
      cells.push_back(without_blanks(line.substr(from, at - from)));
      from = at + 1;
    }
    if (cells.size() != 6) throw std::logic_error("a row of the guide has other cells: " + line);
    rows.push_back({cells[0], cells[1], cells[2], cells[3], std::stoul(cells[4]), std::stod(cells[5])});
  }
  return rows;
}

const Structure &variant_named(const CaseFile &file, const std::string &name) {
  for (const Structure &s : file.variants)
    if (s.variant_name == name) return s;
  throw std::logic_error("no variant " + name);
}

TEST(Exercises, AnswersAreWhatTheProgramGives) {
  std::map<std::string, ModalResult> solved;
  int checked = 0;
  for (const ExerciseRow &row : rows_of_guide()) {
    SCOPED_TRACE(row.answer);
    const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/" + row.file, built_in_materials);
    const Structure &s = variant_named(file, row.variant);
    SolveOptions o;
    o.damping = Damping::energy;
    if (row.up_to == "converge") {
      std::vector<ConvergeLevel> levels = {{1, 2}, {2, 2}, {4, 2}};
      std::vector<ModalResult> results;
      o.up_to = 300;
      for (const ConvergeLevel &level : levels) {
        o.fineness = level.fineness;
        o.degree = level.degree;
        results.push_back(solve_modes(s, o));
      }
      const Convergence c = convergence(levels, results, row.mode);
      ASSERT_TRUE(c.modes.at(row.mode - 1).observed);
      EXPECT_NEAR(c.modes[row.mode - 1].observed->limit, row.hertz, 0.0501);
    } else {
      o.up_to = std::stod(row.up_to);
      const std::string key = row.file + row.variant + row.up_to;
      if (!solved.count(key)) solved[key] = solve_modes(s, o);
      ASSERT_GE(solved[key].modes.size(), row.mode);
      EXPECT_NEAR(solved[key].modes[row.mode - 1].frequency, row.hertz, 0.0501);  // the guide gives tenths
    }
    ++checked;
  }
  EXPECT_EQ(checked, 13);
  // What the guide says of the shapes: X1 outwards together, X2 and X3 both the same way.
  const auto label = [&](const char *variant, std::size_t mode) {
    return solved[std::string("demonstration-box.toml") + variant + "440"].modes[mode].label;
  };
  EXPECT_NE(label("bare box", 4).find("breathing"), std::string::npos);
  EXPECT_NE(label("bare box", 5).find("swaying"), std::string::npos);
  EXPECT_NE(label("bar between the sides", 4).find("swaying"), std::string::npos);
}

TEST(Exercises, SumsByHandAreRight) {
  // The guide's formulas, worked here; the program's answers lie as far off as the guide says.
  const double strip = 1.028 * 0.018 / (0.4 * 0.4) * std::sqrt(3.5e9 / 750);
  EXPECT_NEAR(strip, 249.8, 0.1);
  EXPECT_NEAR(strip * 16 / 9, 444, 0.5);
  const double d = 70e9 * std::pow(0.004, 3) / 12 / (1 - 0.09), m = 2700 * 0.004;
  const double plate = M_PI / (2 * 0.16) * std::sqrt(d / m);
  EXPECT_NEAR(2 * plate, 121.0, 0.05);
  EXPECT_NEAR(5 * plate, 302.5, 0.1);
  EXPECT_NEAR(35.985 / (2 * M_PI * 0.16) * std::sqrt(d / m), 220.6, 0.05);
  // Warburton's one term for clamped edges (from memory): G = 1.506, H = J = 1.248 both ways.
  const double a = 0.130, b = 0.212, g = std::pow(1.506, 4), r = a * a / (b * b);
  const double factor = M_PI * M_PI * std::sqrt(g * (1 + r * r) + 2 * r * 1.248 * 1.248);
  EXPECT_NEAR(factor, 26.2, 0.05);
  const double side =
      std::sqrt(3.3e9 * std::pow(0.004, 3) / 12 / (1 - 0.37 * 0.37) / (1190 * 0.004)) / (2 * M_PI * a * a);
  EXPECT_NEAR(factor * side, 511, 1);
  EXPECT_NEAR(M_PI * M_PI * (1 + r), 13.6, 0.05);
  EXPECT_NEAR(M_PI * M_PI * (1 + r) * side, 265, 1);
}

}  // namespace
}  // namespace stillbox
