// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/case_file.h"

namespace stillbox {

// What goes with cabinets made of solids ([shape], [solids]).

/// Refuses a command that cannot serve them (place). Errors: CaseError that says what can be done instead.
void refuse_solids(const CaseFile &file, const std::string &command);

/// Degree of the elements when nobody asked for one: 4 where a variant is made of tetrahedra, else 3.
int usual_degree_of(const CaseFile &file);

/// Errors: CaseError for a degree that tetrahedra do not have (2 .. 5).
void check_degree(const CaseFile &file, int degree);

/// "chambers of 12.10 and 3.05 litres", or what is known instead; empty for a box.
std::string chamber_words(const Structure &structure);

/// Writes the solids as STEP with the boards' names, whole or not at all; the same case gives the same bytes. Errors:
/// OutputError.
void write_step_file(const std::string &path, const Structure &structure);

}  // namespace stillbox
