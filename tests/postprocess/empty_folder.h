// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <string>

namespace stillbox {

namespace fs = std::filesystem;

/// An empty folder for each test, removed at its end with all that is in it.
struct EmptyFolder : testing::Test {
  fs::path folder;
  void SetUp() override {
    std::string pattern = (fs::temp_directory_path() / "stillbox-test-XXXXXX").string();
    ASSERT_NE(::mkdtemp(pattern.data()), nullptr);
    folder = pattern;
  }
  void TearDown() override { fs::remove_all(folder); }
};

}  // namespace stillbox
