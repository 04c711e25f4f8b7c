// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// A length in m from an option's text: a number of mm, or with a unit ("1.8 cm", "3/4 in").
/// Errors: CaseError with command, option, value and what is allowed, when it is none or beyond low_mm .. high_mm.
double option_length(const std::string &command, const std::string &option, const std::string &text, double low_mm,
                     double high_mm);

}  // namespace stillbox
