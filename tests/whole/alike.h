// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace stillbox {

using Json = nlohmann::json;

/// A small symmetric cabinet on large elements, invented; further lines go below.
inline std::string coarse_box(int up_to_hz) {
  return "name = \"box\"\nup_to_hz = " + std::to_string(up_to_hz) +
         "\n[mesh]\ndegree = 2\nfineness = 0.5\n[cabinet]\nouter_size = { width = 150, depth = 170, height = 210 }\n"
         "board = { material = \"mdf\", thickness = 10 }\n";
}

/// What differs beyond rounding: texts, counts, figures by more than 1e-6 of themselves (and 1e-9 where they are near
/// 0). Residuals are rounding itself.
inline void compare(const Json &a, const Json &b, const std::string &path, std::vector<std::string> &differing) {
  if (path.find("residual") != std::string::npos || path.find("seconds") != std::string::npos) return;
  if (a.is_object() && b.is_object()) {
    if (a.size() != b.size()) differing.push_back(path + ": keys");
    for (const auto &[key, value] : a.items()) {
      if (b.contains(key))
        compare(value, b[key], path + "." + key, differing);
      else
        differing.push_back(path + "." + key + ": missing");
    }
  } else if (a.is_array() && b.is_array()) {
    if (a.size() != b.size()) differing.push_back(path + ": length");
    for (std::size_t i = 0; i < std::min(a.size(), b.size()); ++i)
      compare(a[i], b[i], path + "[" + std::to_string(i) + "]", differing);
  } else if (a.is_number_float() && b.is_number()) {
    const double x = a.get<double>(), y = b.get<double>();
    if (!(std::abs(x - y) <= 1e-6 * std::max(std::abs(x), std::abs(y)) + 1e-9))
      differing.push_back(path + ": " + a.dump() + ", " + b.dump());
  } else if (a != b) {
    differing.push_back(path + ": " + a.dump() + ", " + b.dump());
  }
}

}  // namespace stillbox
