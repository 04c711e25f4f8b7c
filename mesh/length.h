// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>
#include <string_view>

namespace stillbox {

/// Metres from a text that carries its unit: "18 mm", "1.8 cm", "0.3 m", "0.75 in", "3/4 in", "1 1/2 in", a sign in
/// front, any white space between number and unit. 1 in = 25.4 mm exactly.
/// Nothing when the text is not such a length (no unit, a decimal comma, a zero denominator, trailing characters).
std::optional<double> parse_length(std::string_view text);

/// A length in m as text in millimetres with up to six digits: 0.018 gives "18 mm".
std::string length_text(double metres);

/// A number with up to six significant digits, without trailing zeros.
std::string number_text(double value);

}  // namespace stillbox
