// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/benchmark/figures.h"

namespace stillbox {

/// A run of the program that gives one row.
struct PlannedRun {
  RowGroup group = RowGroup::cases;
  std::string name, case_path;
  std::vector<std::string> variants;  ///< empty: all
  double up_to = 0;                   ///< Hz
  double fineness = 1;
  int degree = 3, threads = 1;
};

/// One mesh, and the top frequencies up to which its modes are found.
struct PlannedModes {
  std::string name, case_path, variant;
  double mesh_up_to = 0, fineness = 1;
  int degree = 3;
  std::vector<double> up_to;  ///< Hz, rising
};

/// A factorisation and solves to set a run against.
struct PlannedBounds {
  std::string case_path, variant;
  double up_to = 0, fineness = 1;
  int degree = 3;
  std::vector<int> threads;
};

struct Plan {
  bool small = false;  ///< sizes on which no bar can be judged
  std::vector<PlannedRun> runs;
  PlannedModes modes;
  PlannedBounds bounds;
};

/// The whole suite; `cases` and `benchmark` are the folders cases/ and tests/benchmark/ of the source.
Plan whole_plan(const std::string &cases, const std::string &benchmark);
/// The same rows, as far as they fit into a few seconds, on the coarsest meshes: a try of the suite itself.
Plan quick_plan(const std::string &cases, const std::string &benchmark);

// Names that the bars look rows up by.
extern const char *const stand_mount_row;
extern const char *const floor_stander_row;
struct VariantRows {
  const char *first, *all;  ///< the first variant alone, and all of them
};
extern const VariantRows variant_rows[2];

}  // namespace stillbox
