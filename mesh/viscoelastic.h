// SPDX-License-Identifier: MIT
#pragma once
#include <complex>
#include <utility>
#include <vector>

namespace stillbox {

// Materials whose stiffness and loss depend on frequency and temperature, as a table of the complex modulus
// M*(f, T) = M (1 + i eta) over reduced frequency. The form is that of ISO 10112 (from memory): what the material does
// at frequency f and temperature T it does at the table's temperature T0 and the reduced frequency f a_T(T).

/// How temperature shifts frequency.
enum class ShiftLaw {
  none,      ///< a_T = 1: the table holds at its own temperature
  wlf,       ///< log10 a_T = -C1 (T - T0) / (C2 + T - T0); Williams, Landel and Ferry 1955, from memory
  arrhenius  ///< log10 a_T = Ea / (2.303 R) (1/T - 1/T0) in kelvins, 2.303 standing for ln 10; from memory
};

struct Viscoelastic {
  enum class Modulus { youngs, shear };
  enum class Outside { refuse, hold };  ///< hold: the first or last row goes on for ever

  Modulus kind = Modulus::youngs;     ///< which modulus the table lists
  std::vector<double> frequency;      ///< Hz, > 0, increasing, at least two
  std::vector<double> modulus;        ///< Pa, > 0: the storage modulus at these frequencies
  std::vector<double> loss_factor;    ///< > 0
  double reference_temperature = 20;  ///< degrees C: T0
  ShiftLaw shift = ShiftLaw::none;
  double wlf_c1 = 0;             ///< C1
  double wlf_c2 = 0;             ///< K: C2
  double activation_energy = 0;  ///< J/mol: Ea
  Outside outside = Outside::refuse;
};

/// Storage modulus (Pa) and loss factor: the complex modulus is modulus (1 + i loss_factor).
struct ViscoelasticPoint {
  double modulus = 0, loss_factor = 0;
  std::complex<double> complex_modulus() const { return {modulus, modulus * loss_factor}; }
};

/// A table without a shift is used up to this far from its temperature, in K (common practice, no source: a sample's
/// temperature is hardly known better).
constexpr double same_temperature = 1;

/// log10 of the shift a_T at a temperature (degrees C). Errors: std::domain_error at or below absolute zero, where
/// C2 + T - T0 <= 0, and where a_T leaves 1e-30 .. 1e30.
double log10_shift(const Viscoelastic &v, double temperature);

/// Lowest and highest frequency (Hz) the table covers at a temperature (degrees C): f_first / a_T and f_last / a_T.
/// Errors: as log10_shift.
std::pair<double, double> frequency_range(const Viscoelastic &v, double temperature);

/// The material at a frequency (Hz, >= 0) and temperature (degrees C): log modulus and log loss factor are linear over
/// log reduced frequency between the rows.
/// Errors: std::domain_error outside the table, or without a shift at another temperature than the table's, unless
/// `outside` is hold; as log10_shift; for a frequency that is negative or not finite.
ViscoelasticPoint at(const Viscoelastic &v, double frequency, double temperature);

/// d(complex modulus) / d(frequency), Pa/Hz, at a frequency > 0: of the interpolation that `at` uses, so it jumps at
/// the rows (there: the slope towards higher frequencies, at the last row that towards lower ones); 0 where an end
/// value is held. Errors: as at.
std::complex<double> slope_at(const Viscoelastic &v, double frequency, double temperature);

}  // namespace stillbox
