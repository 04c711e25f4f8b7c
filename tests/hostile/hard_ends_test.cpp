// SPDX-License-Identifier: MIT
// Runs that end badly: killed, without room on the disk, without a folder, two at once, without a terminal. What was
// there before stays whole, and the reason is said.
#include <sys/file.h>
#include <sys/mount.h>

#include <algorithm>
#include <map>

#include "tests/fuzz/guarded.h"
#include "tests/fuzz/readers.h"
#include "tests/hostile/limited.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

// A strip that is solved in no time; invented.
std::string strip_of(int length) {
  return "name = \"strip\"\nup_to_hz = 1500\n[mesh]\ndegree = 2\n[[board]]\nname = \"strip\"\nmaterial = \"mdf\"\n"
         "thickness = 12\noutline = [[0, 0], [" +
         std::to_string(length) + ", 0], [" + std::to_string(length) + ", 40], [0, 40]]\n";
}

struct HardEnds : OwnFolder {
  void SetUp() override {
    OwnFolder::SetUp();
    put("first.toml", strip_of(300));
    put("second.toml", strip_of(310));
  }
  std::vector<std::string> modes(const std::string &name, const std::string &out) const {
    return {"modes", name + ".toml", "--out", out};
  }
  /// Every file of a folder with its bytes.
  std::map<std::string, std::string> content(const std::string &name) const {
    std::map<std::string, std::string> all;
    for (const std::string &file : names_in(folder / name)) all[file] = bytes_in(folder / name / file);
    return all;
  }
  void expect_clean(const std::string &err, const std::string &part) const {
    EXPECT_NE(err.find(part), std::string::npos) << err;
    EXPECT_EQ(message_complaint(err), "") << err;
    EXPECT_EQ(std::count(err.begin(), err.end(), '\n'), 1) << err;
  }
};

TEST_F(HardEnds, AKillLeavesEachFileAsItWasOrAsItIsToBe) {
  ASSERT_EQ(run_limited(folder, modes("second", "whole")).code, 0);
  const auto after = content("whole");
  const auto start = std::chrono::steady_clock::now();
  ASSERT_EQ(run_limited(folder, modes("first", "out")).code, 0);
  const auto took = std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::steady_clock::now() - start);
  const auto before = content("out");
  ASSERT_NE(before.at("modes.json"), after.at("modes.json"));
  int killed = 0;
  for (const int part : {10, 25, 50, 80, 95}) {  // some before the end also where the machine's speed varies
    Limited limits;
    limits.kill_after_ms = int(took.count()) * part / 100;
    killed += run_limited(folder, modes("second", "out"), limits).code == 128 + SIGKILL;
    for (const auto &[name, bytes] : content("out")) {
      if (name[0] == '.') continue;  // a temporary file of the killed run
      ASSERT_TRUE(before.count(name)) << name;
      EXPECT_TRUE(bytes == before.at(name) || bytes == after.at(name)) << name << " after " << part << " %";
    }
  }
  EXPECT_GE(killed, 1);
  // The next run removes what the killed ones left, here and in the folder for temporary files.
  std::ofstream(folder / "out" / ".stillbox-999999-abcdef") << "half";  // no such process: numbers end before
  fs::create_directory(folder / "tmp" / "stillbox-scratch-999999-abcdef");
  put("tmp/stillbox-scratch-999999-abcdef/big", "half");
  ASSERT_EQ(run_limited(folder, modes("second", "out")).code, 0);
  EXPECT_EQ(content("out"), after);
  EXPECT_EQ(names_in(folder / "tmp"), std::vector<std::string>());
}

// A limit on the size of files stands in for a full disk.
TEST_F(HardEnds, AFullDiskIsSaidAndLeavesEarlierResultsWhole) {
  ASSERT_EQ(run_limited(folder, modes("first", "out")).code, 0);
  const auto before = content("out");
  Limited limits;
  limits.file_bytes = 600;
  const LimitedRun run = run_limited(folder, modes("second", "out"), limits);
  EXPECT_EQ(run.code, 2);
  expect_clean(run.err, "cannot write out");
  EXPECT_EQ(content("out"), before);
  limits.file_bytes = 4;  // found before the work; not even the message has room in its file
  const LimitedRun none = run_limited(folder, modes("second", "out"), limits);
  EXPECT_EQ(none.code, 2);
  EXPECT_LT(none.seconds, has_sanitizer() ? 10 : 0.6);
  EXPECT_EQ(content("out"), before);
}

TEST_F(HardEnds, AFolderThatCannotBeIsSaidBeforeTheWork) {
  for (const char *out : {"/proc/stillbox", "first.toml/out"}) {
    const LimitedRun run = run_limited(folder, modes("first", out));
    EXPECT_EQ(run.code, 2) << out;
    expect_clean(run.err, "cannot write");
    EXPECT_EQ(run.out, "");
  }
}

TEST_F(HardEnds, AReadOnlyFolderIsSaidBeforeTheWork) {
  const auto expect_refused = [&](const char *out) {
    const LimitedRun run = run_limited(folder, modes("first", out));
    EXPECT_EQ(run.code, 2) << out;
    expect_clean(run.err, "cannot write");
  };
  expect_refused("/proc");  // a folder in which not even root makes files
  fs::create_directory(folder / "ro");
  // Root may write anywhere else; a mount that is read-only stops it, too. Others are stopped by permissions.
  const bool is_mounted = ::mount("tmpfs", (folder / "ro").c_str(), "tmpfs", MS_RDONLY, "size=16k") == 0;
  if (!is_mounted && ::geteuid() == 0) return;  // root without the right to mount: nothing but the above stops it
  if (!is_mounted) fs::permissions(folder / "ro", fs::perms::owner_read | fs::perms::owner_exec);
  expect_refused("ro");
  if (is_mounted) ::umount((folder / "ro").c_str());
  fs::permissions(folder / "ro", fs::perms::owner_all);
  EXPECT_TRUE(fs::is_empty(folder / "ro"));
}

TEST_F(HardEnds, TwoRunsAtOnceDoNotMixTheirResults) {
  ASSERT_EQ(run_limited(folder, modes("first", "out")).code, 0);
  const auto before = content("out");
  const int held = ::open((folder / "out").c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);  // as a run in there does
  ASSERT_EQ(::flock(held, LOCK_EX | LOCK_NB), 0);
  const LimitedRun run = run_limited(folder, modes("second", "out"));
  EXPECT_EQ(run.code, 2);
  expect_clean(run.err, "another run of stillbox");
  EXPECT_EQ(content("out"), before);
  EXPECT_EQ(run_limited(folder, {"check", "second.toml"}).code, 0);  // what writes nothing is not kept out
  ::close(held);
  EXPECT_EQ(run_limited(folder, modes("second", "out")).code, 0);
}

TEST_F(HardEnds, OutputThatDoesNotArriveIsSaid) {
  for (const char *where : {"/dev/full", "closed"}) {
    Limited limits;
    limits.out = where;
    for (const std::vector<std::string> &words :
         {std::vector<std::string>{"check", "first.toml"}, std::vector<std::string>{"check", "--help"}}) {
      const LimitedRun run = run_limited(folder, words, limits);
      EXPECT_EQ(run.code, 1) << where << " " << words[0];
      expect_clean(run.err, "cannot write standard output");
    }
  }
  // With standard output closed the results still go to their files, and no file takes its place.
  Limited limits;
  limits.out = "closed";
  EXPECT_EQ(run_limited(folder, modes("first", "closed"), limits).code, 1);
  ASSERT_EQ(run_limited(folder, modes("first", "open")).code, 0);
  EXPECT_EQ(content("closed"), content("open"));
}

}  // namespace
}  // namespace stillbox
