// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>
#include <vector>

#include "mesh/case_file.h"
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

/// Cases as text (all boxes and free boards; cabinets of any shape; from STEP), lists of materials, STEP files: what
/// mesh/ reads. `look` is called with every case that is accepted. Seeds are the files of cases/.
std::vector<FuzzedReader> fuzzed_case_readers(const std::function<void(const CaseFile &)> &look);

/// "" when a message may go to a terminal: not empty, clean UTF-8 without control characters but line ends, and no
/// longer than 64 KiB.
std::string message_complaint(const std::string &message);

/// A complaint when the call throws one of the project's errors with words that must not reach a terminal.
template <typename Error, typename Call>
std::string refused_cleanly(const Call &call) {
  try {
    call();
  } catch (const Error &error) {
    return message_complaint(error.what());
  }
  return "";
}

/// The bytes of a file; an error when there are none. A file with these bytes in a folder: its path.
std::string seed_in(const std::string &path);
std::string put(const std::string &folder, const std::string &name, const std::string &bytes);

const std::string seed_cases = STILLBOX_SOURCE_DIR "/cases/";
const std::string seed_materials = seed_cases + "materials.toml";

}  // namespace stillbox
