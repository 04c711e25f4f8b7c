// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/fuzz/mutation.h"

// What the fuzzed readers start from: words of each kind of file, and small files made here.

namespace stillbox {

/// Keys, choices and headings of a case file, and odd values of TOML.
FuzzGrammar toml_grammar();

/// These words and what parts cells and lines.
FuzzGrammar table_grammar(std::vector<std::string> words);

/// Entities of ISO 10303-21.
FuzzGrammar step_grammar();

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
