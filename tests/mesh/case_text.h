// SPDX-License-Identifier: MIT
#pragma once
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "mesh/case_file.h"

namespace stillbox {

inline const std::string built_in_materials = STILLBOX_SOURCE_DIR "/cases/materials.toml";

/// A case written into a folder of its own, removed at the end of the test.
struct CaseText {
  std::filesystem::path folder;
  std::string path;
  explicit CaseText(const std::string &text) {
    static int count = 0;
    folder = std::filesystem::temp_directory_path() /
             ("stillbox-test-" + std::to_string(getpid()) + "-" + std::to_string(++count));
    std::filesystem::create_directories(folder);
    path = (folder / "trial.toml").string();
    std::ofstream(path, std::ios::binary) << text;
  }
  ~CaseText() { std::filesystem::remove_all(folder); }
  CaseText(const CaseText &) = delete;
  CaseText &operator=(const CaseText &) = delete;
  CaseFile read() const { return read_case(path, built_in_materials); }
};

/// A sound cabinet, 200 x 300 x 400 mm of 18 mm boards; further lines go below.
inline const std::string box = R"(name = "trial"
up_to_hz = 1000
[cabinet]
outer_size = { width = 200, depth = 300, height = 400 }
board = { material = "mdf", thickness = 18 }
)";

}  // namespace stillbox
