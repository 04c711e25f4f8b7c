// SPDX-License-Identifier: MIT
// The readers of mesh/ alone against mutated files: part of stillbox_reader_tests, which .ci/run runs with sanitizers.
#include "tests/fuzz/fuzz_trials.h"

namespace stillbox {
namespace {

struct CaseFuzz : EmptyFolder {
  std::size_t accepted = 0;
  const std::vector<FuzzedReader> readers = fuzzed_case_readers([this](const CaseFile &) { ++accepted; });
};

TEST_F(CaseFuzz, MutatedFilesAreReadOrRefused) { expect_mutated_are_read_or_refused(readers, folder.string()); }

TEST_F(CaseFuzz, FilesThatBrokeAReaderOnceAreReadOrRefused) {
  expect_kept_are_read_or_refused(readers, folder.string());
}

TEST_F(CaseFuzz, SeedsAreAccepted) {
  expect_seeds_are_accepted(readers, folder.string());
  std::size_t cases = 0;
  for (const FuzzedReader &reader : readers)
    if (reader.name == "case" || reader.name == "shape" || reader.name == "solids") cases += reader.seeds.size();
  EXPECT_EQ(accepted, cases);
}

}  // namespace
}  // namespace stillbox
