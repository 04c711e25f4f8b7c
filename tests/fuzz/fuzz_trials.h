// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>

#include "tests/fuzz/case_readers.h"
#include "tests/fuzz/guarded.h"
#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/empty_folder.h"

// What fuzzed readers have to withstand in tests.

namespace stillbox {

inline std::vector<fs::path> kept_files(const std::string &reader) {
  std::vector<fs::path> files;
  const fs::path kept = fs::path(STILLBOX_SOURCE_DIR) / "tests/fuzz/kept" / reader;
  if (fs::is_directory(kept))
    for (const auto &entry : fs::directory_iterator(kept)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

/// Mutated files, as many as each reader has in tests.
inline void expect_mutated_are_read_or_refused(const std::vector<FuzzedReader> &readers, const std::string &folder) {
  for (const FuzzedReader &reader : readers) {
    const auto input = [&](std::size_t i) {
      FuzzRandom random = random_of(1, reader.name, i);
      return mutated(reader.seeds, reader.grammar, random);
    };
    for (const GuardFinding &f :
         run_guarded(reader.in_tests, [&](std::size_t i) { return reader.read(input(i), folder); }, {reader.seconds}))
      ADD_FAILURE() << reader.name << ", seed 1, input " << f.number << ": " << f.what << "\nstillbox_fuzz --reader "
                    << reader.name << " --seed 1 --show " << f.number << " prints it";
  }
}

/// Files that broke a reader once.
inline void expect_kept_are_read_or_refused(const std::vector<FuzzedReader> &readers, const std::string &folder) {
  for (const FuzzedReader &reader : readers) {
    const std::vector<fs::path> files = kept_files(reader.name);
    for (const GuardFinding &f : run_guarded(
             files.size(), [&](std::size_t i) { return reader.read(bytes_in(files[i]), folder); }, {reader.seconds},
             100))
      ADD_FAILURE() << files[f.number] << ": " << f.what;
  }
}

/// What mutations start from; were it refused, they would explore nothing.
inline void expect_seeds_are_accepted(const std::vector<FuzzedReader> &readers, const std::string &folder) {
  for (const FuzzedReader &reader : readers)
    for (std::size_t i = 0; i < reader.seeds.size(); ++i)
      EXPECT_EQ(reader.read(reader.seeds[i], folder), "") << reader.name << " " << i;
}

}  // namespace stillbox
