// SPDX-License-Identifier: MIT
#pragma once
#include <cstdint>
#include <random>
#include <string>
#include <vector>

namespace stillbox {

using FuzzRandom = std::mt19937_64;

/// What the texts of one kind of file are made of.
struct FuzzGrammar {
  std::vector<std::string> words;  ///< keys, values and numbers that are put in place of others
  std::string section;             ///< what a line that starts a section begins with; empty: the file has no sections
  bool is_text = true;             ///< false: bytes only, most of the changes in the first 200
  double rough = 0.3;              ///< part of the inputs that get changes of single bytes as well
};

/// One of the seeds with one to eight changes: tokens, lines and sections replaced, doubled, moved, removed, taken from
/// another seed; numbers scaled a little or replaced by extreme ones; bytes flipped, inserted, repeated, cut off. The
/// same random state gives the same bytes. At most `most` bytes.
std::string mutated(const std::vector<std::string> &seeds, const FuzzGrammar &grammar, FuzzRandom &random,
                    std::size_t most = 1 << 18);

/// The state of the random numbers for the `number`th input of a reader, so that any of them can be made alone.
FuzzRandom random_of(std::uint64_t seed, const std::string &reader, std::uint64_t number);

}  // namespace stillbox
