// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_file.h"

namespace stillbox {

/// The variants of these names in the order of the file, all when there is no name.
/// Errors: CaseError for a name that the case does not have.
std::vector<const Structure *> chosen_variants(const CaseFile &file, const std::vector<std::string> &wanted);

}  // namespace stillbox
