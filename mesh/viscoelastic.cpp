// SPDX-License-Identifier: MIT
#include "mesh/viscoelastic.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <stdexcept>
#include <string>

#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr double zero_celsius = 273.15;         // K
constexpr double gas_constant = 8.31446261815;  // J/(mol K), exact by the definition of the units since 2019
constexpr double largest_exponent = 30;
constexpr double slack = 1e-9;  // decades: rounding of a frequency that sits on the table's end

std::string celsius(double temperature) { return number_text(temperature) + " C"; }

/// Where a reduced frequency lies in the table.
struct Spot {
  std::size_t row = 0;     ///< of the row below
  double along = 0;        ///< 0 .. 1 from this row to the next
  double decades = 1;      ///< between the two rows
  bool is_covered = true;  ///< false outside the table, where an end value may be held
};

Spot spot_of(const Viscoelastic &v, double log_reduced) {
  Spot spot;
  const double first = std::log10(v.frequency.front()), last = std::log10(v.frequency.back());
  spot.is_covered = log_reduced >= first - slack && log_reduced <= last + slack;
  const double inside = std::clamp(log_reduced, first, last);
  while (spot.row + 2 < v.frequency.size() && std::log10(v.frequency[spot.row + 1]) <= inside) ++spot.row;
  const double low = std::log10(v.frequency[spot.row]);
  spot.decades = std::log10(v.frequency[spot.row + 1]) - low;
  spot.along = std::clamp((inside - low) / spot.decades, 0.0, 1.0);
  return spot;
}

Spot find_spot(const Viscoelastic &v, double frequency, double temperature) {
  assert(v.frequency.size() >= 2 && v.modulus.size() == v.frequency.size());
  assert(v.loss_factor.size() == v.frequency.size());
  const std::string at_text = number_text(frequency) + " Hz and " + celsius(temperature);
  if (!(frequency >= 0) || !std::isfinite(frequency))
    throw std::domain_error("a frequency of " + number_text(frequency) + " Hz: it must be 0 or more and finite");
  const double log_shift = log10_shift(v, temperature);
  const bool is_held = v.outside == Viscoelastic::Outside::hold;
  if (v.shift == ShiftLaw::none && std::abs(temperature - v.reference_temperature) > same_temperature && !is_held)
    throw std::domain_error("at " + at_text + " the material's table does not apply: it holds at " +
                            celsius(v.reference_temperature) +
                            "; give its shift with temperature, or outside = \"hold\" to use it as it is");
  const Spot spot = spot_of(v, std::log10(frequency) + log_shift);  // -inf for 0 Hz: below every table
  if (!spot.is_covered && !is_held) {
    const auto [low, high] = frequency_range(v, temperature);
    throw std::domain_error("at " + at_text + " the material's table does not apply: the reduced frequency is " +
                            number_text(frequency * std::pow(10, log_shift)) + " Hz, the table covers " +
                            number_text(v.frequency.front()) + " .. " + number_text(v.frequency.back()) +
                            " Hz, which is " + number_text(low) + " .. " + number_text(high) + " Hz at " +
                            celsius(temperature) + "; add rows, or outside = \"hold\" to keep the end values");
  }
  return spot;
}

/// Decades that a column rises over one decade of frequency.
double rise(const std::vector<double> &column, const Spot &spot) {
  return std::log10(column[spot.row + 1] / column[spot.row]) / spot.decades;
}

double value(const std::vector<double> &column, const Spot &spot) {
  return column[spot.row] * std::pow(column[spot.row + 1] / column[spot.row], spot.along);
}

}  // namespace

double log10_shift(const Viscoelastic &v, double temperature) {
  if (!(temperature > -zero_celsius) || !std::isfinite(temperature))
    throw std::domain_error("a temperature of " + celsius(temperature) + " does not exist");
  const double above = temperature - v.reference_temperature;
  double exponent = 0;
  if (v.shift == ShiftLaw::wlf) {
    if (!(v.wlf_c2 + above > 0))
      throw std::domain_error("at " + celsius(temperature) + " the WLF shift has no meaning: C2 + T - T0 is " +
                              number_text(v.wlf_c2 + above) + " K and must be more than 0");
    exponent = -v.wlf_c1 * above / (v.wlf_c2 + above);
  } else if (v.shift == ShiftLaw::arrhenius) {
    const double t = temperature + zero_celsius, t0 = v.reference_temperature + zero_celsius;
    exponent = v.activation_energy / (std::log(10.0) * gas_constant) * (1 / t - 1 / t0);
  }
  if (!(std::abs(exponent) <= largest_exponent))
    throw std::domain_error("at " + celsius(temperature) + " the material's table is shifted by " +
                            number_text(exponent) + " decades of frequency, which is beyond any use (30 at most)");
  return exponent;
}

std::pair<double, double> frequency_range(const Viscoelastic &v, double temperature) {
  const double factor = std::pow(10, -log10_shift(v, temperature));
  return {v.frequency.front() * factor, v.frequency.back() * factor};
}

ViscoelasticPoint at(const Viscoelastic &v, double frequency, double temperature) {
  const Spot spot = find_spot(v, frequency, temperature);
  return {value(v.modulus, spot), value(v.loss_factor, spot)};
}

std::complex<double> slope_at(const Viscoelastic &v, double frequency, double temperature) {
  const Spot spot = find_spot(v, frequency, temperature);
  if (!spot.is_covered) return 0;
  // M* = M (1 + i eta) with M ~ f^m and eta ~ f^n: f dM*/df = m M (1 + i eta) + i n M eta.
  const double m = rise(v.modulus, spot), n = rise(v.loss_factor, spot);
  const ViscoelasticPoint point{value(v.modulus, spot), value(v.loss_factor, spot)};
  return (m * point.complex_modulus() + std::complex<double>(0, n * point.modulus * point.loss_factor)) / frequency;
}

}  // namespace stillbox
