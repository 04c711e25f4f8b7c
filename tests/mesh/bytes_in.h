// SPDX-License-Identifier: MIT
#pragma once
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

namespace stillbox {

/// What a file holds; "" when it cannot be read.
inline std::string bytes_in(const std::filesystem::path &path) {
  std::ifstream stream(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

}  // namespace stillbox
