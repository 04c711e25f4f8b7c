// SPDX-License-Identifier: MIT
// Readers against mutated files, and against every file that once broke one (tests/fuzz/kept/READER/).
#include <algorithm>

#include "tests/fuzz/guarded.h"
#include "tests/fuzz/readers.h"
#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/empty_folder.h"

namespace stillbox {
namespace {

struct Fuzz : EmptyFolder {};

std::vector<fs::path> kept_files(const std::string &reader) {
  std::vector<fs::path> files;
  const fs::path kept = fs::path(STILLBOX_SOURCE_DIR) / "tests/fuzz/kept" / reader;
  if (fs::is_directory(kept))
    for (const auto &entry : fs::directory_iterator(kept)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

TEST_F(Fuzz, MutatedFilesAreReadOrRefused) {
  for (const FuzzedReader &reader : fuzzed_readers()) {
    const auto input = [&](std::size_t i) {
      FuzzRandom random = random_of(1, reader.name, i);
      return mutated(reader.seeds, reader.grammar, random);
    };
    for (const GuardFinding &f : run_guarded(
             reader.in_tests, [&](std::size_t i) { return reader.read(input(i), folder.string()); }, {reader.seconds}))
      ADD_FAILURE() << reader.name << ", seed 1, input " << f.number << ": " << f.what << "\nstillbox_fuzz --reader "
                    << reader.name << " --seed 1 --show " << f.number << " prints it";
  }
}

TEST_F(Fuzz, FilesThatBrokeAReaderOnceAreReadOrRefused) {
  for (const FuzzedReader &reader : fuzzed_readers()) {
    const std::vector<fs::path> files = kept_files(reader.name);
    for (const GuardFinding &f : run_guarded(
             files.size(), [&](std::size_t i) { return reader.read(bytes_in(files[i]), folder.string()); },
             {reader.seconds}, 100))
      ADD_FAILURE() << files[f.number] << ": " << f.what;
  }
}

TEST_F(Fuzz, SeedsAreAccepted) {  // else the mutations would explore nothing
  for (const FuzzedReader &reader : fuzzed_readers())
    for (std::size_t i = 0; i < reader.seeds.size(); ++i)
      EXPECT_EQ(reader.read(reader.seeds[i], folder.string()), "") << reader.name << " " << i;
}

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
