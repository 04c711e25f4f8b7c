// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// A JSON Schema (draft 2020-12) of a case file, made from the declarations in mesh/keys*.cpp: for editors that
/// complete and check a TOML file while it is written. One $defs entry per group of keys, with its prose as
/// description, ranges and defaults. `check` is the judge: what depends on several values (places, names, joints) is
/// not in the schema.
std::string case_schema_json();

}  // namespace stillbox
