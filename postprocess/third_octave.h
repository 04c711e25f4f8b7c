// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// Third-octave bands of IEC 61260-1, base ten (from memory): band x has its exact middle at 1000 * 10^(x/10) Hz and
/// its edges at the middle times 10^(-1/20) and 10^(1/20).
double third_octave_middle(int band);
double third_octave_low(int band);
double third_octave_high(int band);

/// The band that holds `frequency` (Hz, > 0); a frequency on an edge belongs to the band above.
int third_octave_of(double frequency);

/// Nominal name: "315", "1000", "12500", "31.5".
std::string third_octave_name(int band);

}  // namespace stillbox
