// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

/// The bytes of a WAV file: mono, 24-bit PCM, `rate` samples a second; sample 1 is full scale. Samples must lie
/// strictly within -1 .. 1. Errors: OutputError when libsndfile refuses.
std::string wav_bytes(const std::vector<double> &samples, int rate);

}  // namespace stillbox
