// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/material.h"

namespace stillbox {

/// Every material that a case may name, whether its boards use it or not: the built-in ones, then the case's own, which
/// hide built-in ones of the same name. Laws are for `temperature` (degrees C). `materials_path` is the list of
/// built-in materials and may be empty. Errors: CaseError, as read_case.
std::vector<Material> materials_of_case(const std::string &case_path, const std::string &materials_path,
                                        double temperature);

}  // namespace stillbox
