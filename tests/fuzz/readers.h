// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "tests/fuzz/mutation.h"

namespace stillbox {

/// A reader of files (or of words of the command line) that has to withstand anything.
struct FuzzedReader {
  std::string name;
  std::vector<std::string> seeds;
  FuzzGrammar grammar;
  std::size_t in_tests = 0;  ///< how many inputs the regular tests try
  /// Reads one input; `folder` is for a file of it. Returns a complaint or "". An error of the project's own types with
  /// a clean message is no complaint; any other exception goes through.
  std::function<std::string(const std::string &bytes, const std::string &folder)> read;
  double seconds = 1;  ///< of processor time for one input
};

/// Cases as text (all boxes and free boards; cabinets of any shape; from STEP), lists of materials, recordings as audio
/// and as tables, lists of heard frequencies, candidates and results of `place`, STEP files, words of options. Seeds
/// are the files of cases/ and small ones made here.
std::vector<FuzzedReader> fuzzed_readers();

/// "" when a message may go to a terminal: not empty, clean UTF-8 without control characters but line ends, and no
/// longer than 64 KiB.
std::string message_complaint(const std::string &message);

}  // namespace stillbox
