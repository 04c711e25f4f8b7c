// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>
#include <vector>

#include "tests/mesh/case_text.h"

// Every mistake must give one CaseError with one line per problem: file, line, key, value, what is allowed, what to do.
// In the texts "#!" marks the line that the message must name.

namespace stillbox {

struct Mistake {
  const char *name;
  std::string text;
  std::vector<std::string> parts;  ///< what the message must contain
};

inline std::string without_cabinet(const std::string &lines) { return "name = \"t\"\nup_to_hz = 1000\n" + lines; }

inline std::string cabinet(const std::string &size, const std::string &board, const std::string &rest = "") {
  return without_cabinet("[cabinet]\nouter_size = " + size + "\nboard = " + board + "\n" + rest);
}

inline const std::string good_size = "{ width = 200, depth = 300, height = 400 }";
inline const std::string good_board = "{ material = \"mdf\", thickness = 18 }";

inline std::string hole(const std::string &centre, const std::string &rest = "diameter = 60") {
  return "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\n" + centre + "\n" + rest + "\n";
}

inline std::string shelf(const std::string &name, const std::string &at, const std::string &rest = "") {
  return "[[brace]]\nname = \"" + name + "\"\nkind = \"shelf\"\nnormal = \"height\"\n" + at + "\n" + rest;
}

/// A corner block between baffle and bottom.
inline std::string block(const std::string &name, const std::string &section) {
  return "[[brace]]\nname = \"" + name + "\"\nkind = \"corner block\"\nedge = [\"baffle\", \"bottom\"]\n" + section +
         "\n";
}

inline std::string wood(const std::string &lines) {
  return box + "[material.own]\nkind = \"orthotropic\"\ndensity_kg_m3 = 500\nloss_factor = 0.01\n" + lines;
}

inline const std::string wood_moduli =
    "youngs_modulus_along_gpa = 10\nyoungs_modulus_across_gpa = 1\nyoungs_modulus_through_gpa = 0.5\n"
    "shear_modulus_along_across_gpa = 0.7\nshear_modulus_along_through_gpa = 0.7\nshear_modulus_across_through_gpa = "
    "0.05\n"
    "poissons_ratio_along_through = 0.4\npoissons_ratio_across_through = 0.4\n";

inline std::string board(const std::string &lines) {
  return without_cabinet("[[board]]\nname = \"plate\"\nmaterial = \"mdf\"\nthickness = 18\n" + lines);
}

inline std::string repeated(int count, const std::string &text) {
  std::string result;
  for (int i = 0; i < count; ++i) {
    std::string one = text;
    const std::size_t at = one.find('@');
    if (at != std::string::npos) one.replace(at, 1, std::to_string(i));
    result += one;
  }
  return result;
}

inline void expect_refused(const Mistake &mistake) {
  SCOPED_TRACE(mistake.name);
  std::string text = mistake.text;
  const std::size_t mark = text.find("#!");
  ASSERT_NE(mark, std::string::npos);
  const long line = 1 + std::count(text.begin(), text.begin() + long(mark), '\n');
  text.erase(mark, 2);
  const CaseText file(text);
  try {
    file.read();
    ADD_FAILURE() << "was accepted:\n" << text;
  } catch (const CaseError &error) {
    const std::string what = error.what();
    EXPECT_EQ(what.rfind(file.path + ":" + std::to_string(line) + ":", 0), 0u) << "line " << line << ": " << what;
    EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
    for (const std::string &part : mistake.parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
  }
}

}  // namespace stillbox
