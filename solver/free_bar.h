// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

namespace stillbox {

/// A free bar of rectangular section, in SI units.
struct FreeBar {
  double length = 0, width = 0, thickness = 0;  ///< m, length > width and thickness > 0
  double mass = 0;                              ///< kg
};

/// Young's modulus (Pa) along an isotropic bar from its first bending frequency f (Hz) across the thickness, by ASTM
/// E1876 and C1259 (coefficients from memory, the leading 0.9465 and the short T1 seen elsewhere):
///   E = 0.9465 (m f^2 / b) (L/t)^3 T1, T1 = 1 + 6.585 (1 + 0.0752 nu + 0.8109 nu^2) (t/L)^2 - 0.868 (t/L)^4
///       - 8.340 (1 + 0.2023 nu + 2.173 nu^2) (t/L)^4 / (1 + 6.338 (1 + 0.1408 nu + 1.536 nu^2) (t/L)^2)
/// For bending in the plane of the board (edgewise) give width and thickness in each other's place. T1 holds the shear
/// of an isotropic bar: on fibre board, soft in shear through its thickness, the result is some 5 % too low.
double e1876_youngs_modulus(const FreeBar &bar, double frequency, double poissons_ratio);

/// The formula above turned round: f (Hz) of a bar with this modulus (Pa).
double e1876_frequency(const FreeBar &bar, double youngs_modulus, double poissons_ratio);

/// Shear modulus (Pa) from the first torsional frequency (Hz), ASTM E1876 (from memory): G = (4 L m f^2 / (b t)) R,
///   R = (1 + (b/t)^2) / (4 - 2.521 (t/b) (1 - 1.991 / (exp(pi b/t) + 1))) (1 + 0.00851 b^2 / L^2)
///       - 0.060 (b/L)^1.5 (b/t - 1)^2
/// It is the modulus of an isotropic bar; of a board mostly that in its plane (3 to 4 times as thick as wide and more).
double e1876_shear_modulus(const FreeBar &bar, double frequency);

/// Bending frequencies (Hz) 1 .. count of a free bar with Young's modulus E along it and shear modulus G between its
/// axis and its thickness: Timoshenko's beam with the shear coefficient 5/6 (isotropic: 10 (1 + nu) / (12 + 11 nu)
/// differs by 1-2 %), Ritz with Legendre polynomials of degree count + 9; for L/t > 4 within 0.1 % of the exact beam.
/// Errors: std::domain_error unless E, G and all of the bar are above 0.
std::vector<double> bar_frequencies(const FreeBar &bar, double youngs_modulus, double shear_modulus, int count);

/// E (Pa) so that bending mode `number` (from 1) of bar_frequencies lies at `frequency` (Hz), with G = ratio E.
/// Errors: std::domain_error as above.
double bar_youngs_modulus(const FreeBar &bar, double frequency, int number, double shear_ratio);

}  // namespace stillbox
