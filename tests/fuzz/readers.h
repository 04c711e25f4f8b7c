// SPDX-License-Identifier: MIT
#pragma once
#include "tests/fuzz/case_readers.h"

namespace stillbox {

/// Those of fuzzed_case_readers, recordings as audio and as tables, lists of heard frequencies, candidates and results
/// of `place`, words of options. Seeds are the files of cases/ and small ones made here.
std::vector<FuzzedReader> fuzzed_readers();

}  // namespace stillbox
