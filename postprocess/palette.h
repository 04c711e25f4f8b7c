// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <string>

namespace stillbox {

/// Bands of normal displacement w / largest |w|: nine equal ones from -1 to 1. The middle one straddles 0, so that no
/// border of a band runs along a nodal line. Band 0 moves inwards most, band 8 outwards most.
constexpr int band_count = 9;
constexpr int middle_band = band_count / 2;
constexpr std::array<double, band_count + 1> band_edges{-1.0,   -7. / 9, -5. / 9, -3. / 9, -1. / 9,
                                                        1. / 9, 3. / 9,  5. / 9,  7. / 9,  1.0};

struct Colour {
  double lightness = 0, a = 0, b = 0;  ///< CIE 1976 L*, a*, b* (D65)
  std::array<int, 3> rgb{0, 0, 0};     ///< sRGB, 0 .. 255
  bool in_gamut = true;
};

/// The colour with this lightness (0 .. 100), chroma and hue angle (degrees), by CIE 1976 L*a*b* and IEC 61966-2-1
/// (both from memory). Colours outside sRGB are clipped and marked.
Colour colour_of(double lightness, double chroma, double hue);

/// Colours of the bands. Why these:
///  - L* is how light a surface looks. It falls in equal steps from a light neutral to the same dark end on both sides,
///    so equal steps of movement look equally strong whichever way the wall goes, also in grey print or for an eye that
///    sees no colour; the sign there follows from the nodal lines, across which it changes.
///  - Outwards is orange, inwards is blue: they lie on opposite ends of the b* axis (blue to yellow), which eyes with a
///    red-green deficiency keep. No step differs from another in red against green alone.
///  - Chroma grows in equal steps as well, from none.
std::array<Colour, band_count> band_palette();

/// "#rrggbb"
std::string hex(const Colour &colour);

}  // namespace stillbox
