// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "tests/fuzz/mutation.h"

// Words that mutations of each kind of file put in.

namespace stillbox {

/// Keys, choices and headings of a case file, and odd values of TOML.
FuzzGrammar toml_grammar();

/// These words and what parts cells and lines.
FuzzGrammar table_grammar(std::vector<std::string> words);

/// Entities of ISO 10303-21.
FuzzGrammar step_grammar();

}  // namespace stillbox
