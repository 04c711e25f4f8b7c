// SPDX-License-Identifier: MIT
#include "postprocess/safe_file.h"

#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/empty_folder.h"

namespace stillbox {
namespace {

struct SafeFile : EmptyFolder {
  std::size_t entries() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
  }
};

TEST_F(SafeFile, WritesBytesAndLeavesNothingElse) {
  const std::string bytes("a\0b\r\n", 5);
  const std::string path = (folder / "out.bin").string();
  write_file(path, bytes);
  EXPECT_EQ(bytes_in(path), bytes);
  write_file(path, "second");
  EXPECT_EQ(bytes_in(path), "second");
  EXPECT_EQ(entries(), 1u);
}

TEST_F(SafeFile, MissingFolderIsNamed) {
  const std::string path = (folder / "none" / "out.txt").string();
  try {
    write_file(path, "x");
    FAIL() << "no error";
  } catch (const OutputError &error) {
    EXPECT_EQ(error.path, path);
    EXPECT_EQ(error.code, std::errc::no_such_file_or_directory);
    EXPECT_NE(std::string(error.what()).find(path), std::string::npos);
    EXPECT_NE(std::string(error.what()).find(error.reason), std::string::npos);
  }
}

TEST_F(SafeFile, FolderInPlaceOfTheFileIsRefused) {
  EXPECT_THROW(write_file(folder.string(), "x"), OutputError);
  EXPECT_TRUE(fs::is_directory(folder));
}

// A limit on the size of files stands in for a full disk: write() fails part-way.
TEST_F(SafeFile, FailingWriteLeavesTheEarlierFileWhole) {
  const std::string path = (folder / "out.txt").string();
  write_file(path, "earlier");
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    const rlimit limit{4096, 4096};
    std::signal(SIGXFSZ, SIG_IGN);
    ::setrlimit(RLIMIT_FSIZE, &limit);
    int code = 1;
    try {
      write_file(path, std::string(100000, 'x'));
    } catch (const OutputError &) {
      code = 42;
    }
    ::_exit(code);
  }
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  ASSERT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 42);
  EXPECT_EQ(bytes_in(path), "earlier");
  EXPECT_EQ(entries(), 1u);
}

// Killed in the middle of the write, not merely failing.
TEST_F(SafeFile, KillLeavesTheEarlierFileWhole) {
  const std::string path = (folder / "out.txt").string();
  write_file(path, "earlier");
  const pid_t child = ::fork();
  ASSERT_GE(child, 0);
  if (child == 0) {
    const rlimit limit{4096, 4096};
    std::signal(SIGXFSZ, SIG_DFL);  // kills the process at the limit
    ::setrlimit(RLIMIT_FSIZE, &limit);
    const rlimit no_core{0, 0};
    ::setrlimit(RLIMIT_CORE, &no_core);
    write_file(path, std::string(100000, 'x'));
    ::_exit(0);
  }
  int status = 0;
  ASSERT_EQ(::waitpid(child, &status, 0), child);
  EXPECT_TRUE(WIFSIGNALED(status));
  EXPECT_EQ(bytes_in(path), "earlier");
}

TEST_F(SafeFile, LinkIsFollowed) {
  write_file((folder / "real.txt").string(), "a");
  fs::create_symlink("real.txt", folder / "link.txt");
  write_file((folder / "link.txt").string(), "b");
  EXPECT_TRUE(fs::is_symlink(folder / "link.txt"));
  EXPECT_EQ(bytes_in(folder / "real.txt"), "b");
}

TEST_F(SafeFile, DeviceIsWrittenNotReplaced) {
  write_file("/dev/null", "x");
  EXPECT_TRUE(fs::is_character_file("/dev/null"));
  EXPECT_THROW(write_file("/dev/full", "x"), OutputError);
}

TEST_F(SafeFile, CheckCreatesTheFolderAndLeavesNothingInIt) {
  const fs::path deep = folder / "a" / "b";
  check_writable(deep.string());
  EXPECT_TRUE(fs::is_directory(deep));
  EXPECT_TRUE(fs::is_empty(deep));
  check_writable(deep.string() + "/");
  EXPECT_TRUE(fs::is_empty(deep));
}

TEST_F(SafeFile, CheckRefusesAPathUnderAFile) {
  write_file((folder / "file").string(), "x");
  for (const char *below : {"file", "file/sub", "file/sub/deeper"}) {
    EXPECT_THROW(check_writable((folder / below).string()), OutputError) << below;
  }
  EXPECT_EQ(entries(), 1u);
}

TEST_F(SafeFile, CheckTakesBackFoldersItMade) {
  const std::string too_long(300, 'n');
  EXPECT_THROW(check_writable((folder / "made" / too_long).string()), OutputError);
  EXPECT_EQ(entries(), 0u);
}

}  // namespace
}  // namespace stillbox
