// SPDX-License-Identifier: MIT
#pragma once
#include <chrono>

namespace stillbox {

/// Seconds between laps, by the steady clock.
struct Stopwatch {
  std::chrono::steady_clock::time_point last = std::chrono::steady_clock::now();
  double lap() {
    const auto now = std::chrono::steady_clock::now();
    const double seconds = std::chrono::duration<double>(now - last).count();
    last = now;
    return seconds;
  }
};

}  // namespace stillbox
