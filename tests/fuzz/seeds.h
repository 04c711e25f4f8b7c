// SPDX-License-Identifier: MIT
#pragma once
#include <string>

// Small files, made here, that fuzzed readers start from.

namespace stillbox {

/// Half a second of two knocks, small, in a container of libsndfile's (its SF_FORMAT_ words).
std::string audio_bytes(int format, int channels, int rate);

/// 0.4 s of a decaying tone as time and acceleration.
std::string acceleration_table(const char *separator);

/// A candidates.csv of two lines and a place.json that fits it.
std::string candidates_text();
const char *place_json_text();

/// Words of options, one a line: what reads it, a colon, the word.
const char *words_seed();

}  // namespace stillbox
