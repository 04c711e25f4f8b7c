// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// An SVG picture as PNG, twice its own size in pixels each way, drawn by rsvg-convert.
/// Errors: OutputError that says what went wrong (rsvg-convert missing, failed with its own words, or too slow).
std::string png_of(const std::string &svg);

/// Throws the OutputError that png_of would throw when rsvg-convert is missing: to be found before long work.
void check_png();

}  // namespace stillbox
