// SPDX-License-Identifier: MIT
#include "postprocess/palette.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;

double from_cube_root(double t) { return t > 6.0 / 29 ? t * t * t : 3 * (6.0 / 29) * (6.0 / 29) * (t - 4.0 / 29); }

double encode(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
}

}  // namespace

Colour colour_of(double lightness, double chroma, double hue) {
  Colour colour;
  colour.lightness = lightness;
  colour.a = chroma * std::cos(hue * pi / 180);
  colour.b = chroma * std::sin(hue * pi / 180);
  const double fy = (lightness + 16) / 116;
  const double x = 0.95047 * from_cube_root(fy + colour.a / 500);
  const double y = from_cube_root(fy);
  const double z = 1.08883 * from_cube_root(fy - colour.b / 200);
  const std::array<double, 3> linear{3.2406 * x - 1.5372 * y - 0.4986 * z, -0.9689 * x + 1.8758 * y + 0.0415 * z,
                                     0.0557 * x - 0.2040 * y + 1.0570 * z};
  for (std::size_t c = 0; c < 3; ++c) {
    if (linear[c] < -1e-3 || linear[c] > 1 + 1e-3) colour.in_gamut = false;
    colour.rgb[c] = static_cast<int>(std::lround(255 * encode(std::clamp(linear[c], 0.0, 1.0))));
  }
  return colour;
}

std::array<Colour, band_count> band_palette() {
  constexpr double light = 95, dark = 43, most_chroma = 48, orange = 60, blue = 276;
  std::array<Colour, band_count> palette;
  for (int band = 0; band < band_count; ++band) {
    const double strength = std::abs(band - middle_band) / static_cast<double>(middle_band);
    palette[static_cast<std::size_t>(band)] =
        colour_of(light + strength * (dark - light), strength * most_chroma, band > middle_band ? orange : blue);
  }
  return palette;
}

std::string hex(const Colour &colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.rgb[0], colour.rgb[1], colour.rgb[2]);
}

}  // namespace stillbox
