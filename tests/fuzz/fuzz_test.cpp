// SPDX-License-Identifier: MIT
// Readers against mutated files, and against every file that once broke one (tests/fuzz/kept/READER/).
#include "tests/fuzz/fuzz_trials.h"
#include "tests/fuzz/readers.h"

namespace stillbox {
namespace {

struct Fuzz : EmptyFolder {};

TEST_F(Fuzz, MutatedFilesAreReadOrRefused) { expect_mutated_are_read_or_refused(fuzzed_readers(), folder.string()); }

TEST_F(Fuzz, FilesThatBrokeAReaderOnceAreReadOrRefused) {
  expect_kept_are_read_or_refused(fuzzed_readers(), folder.string());
}

TEST_F(Fuzz, SeedsAreAccepted) { expect_seeds_are_accepted(fuzzed_readers(), folder.string()); }

TEST_F(Fuzz, TheSameNumberGivesTheSameBytesAndOthersDiffer) {
  const FuzzedReader reader = fuzzed_readers().front();
  int differing = 0;
  for (std::size_t i = 0; i < 20; ++i) {
    FuzzRandom first = random_of(3, "case", i), again = random_of(3, "case", i), other = random_of(4, "case", i);
    const std::string text = mutated(reader.seeds, reader.grammar, first);
    EXPECT_EQ(text, mutated(reader.seeds, reader.grammar, again));
    differing += text != mutated(reader.seeds, reader.grammar, other);
  }
  EXPECT_GE(differing, 18);
}

// The guard has to see each kind of failure, or the tests above could not fail.
TEST_F(Fuzz, TheGuardSeesCrashesThrowsLoopsAndMemory) {
  const auto work = [](std::size_t i) -> std::string {
    if (i == 1) std::abort();
    if (i == 3) throw std::logic_error("thrown");
    if (i == 4)
      for (volatile unsigned n = 0;;) n = n + 1;
    if (i == 5) {
      const std::size_t size = (has_sanitizer() ? 900u : 300u) << 20;
      std::vector<char> much(size, 'x');
      return much[size / 2] == 'x' ? "" : "?";
    }
    if (i == 6) return "says so";
    return "";
  };
  const auto findings = run_guarded(8, work, {0.5});
  ASSERT_EQ(findings.size(), 5u);
  const char *const words[] = {"crashes", "thrown", "processor time", "MiB", "says so"};
  const std::size_t numbers[] = {1, 3, 4, 5, 6};
  for (std::size_t i = 0; i < 5; ++i) {
    EXPECT_EQ(findings[i].number, numbers[i]);
    EXPECT_NE(findings[i].what.find(words[i]), std::string::npos) << findings[i].what;
  }
}

}  // namespace
}  // namespace stillbox
