// SPDX-License-Identifier: MIT
#include <array>
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr std::array<const char *, 5> needed{"moving_mass_g", "compliance_mm_n", "mechanical_q", "coil_resistance_ohm",
                                             "cone_area_cm2"};
constexpr std::array<const char *, 4> others{"electrical_q", "force_factor_tm", "coil_inductance_mh", "voltage_v"};
constexpr double least_resonance = 5, most_resonance = 20000;  // Hz
constexpr double agreement = 0.1;  // of both ways to the electrical Q; printed figures are rounded

bool is_complete(const Reader &r) {
  bool complete = true;
  for (const char *key : needed) {
    if (r.has(key)) continue;
    r.refuse(key, allowed_text(*find_key(r.groups, key)),
             std::string("small-signal parameters go together: add the key ") + key +
                 ", or remove them all and the driver is a mass only");
    complete = false;
  }
  if (!r.has("electrical_q") && !r.has("force_factor_tm")) {
    r.refuse("force_factor_tm", allowed_text(*find_key(r.groups, "force_factor_tm")),
             "add the key force_factor_tm or electrical_q");
    complete = false;
  }
  return complete;
}

// Settles the force factor and the electrical Q, of which the other follows.
bool settle_motor(const Reader &r, double omega, SmallSignal &s) {
  const double damping = omega * s.moving_mass * s.coil_resistance;  // (T m)^2 at an electrical Q of 1
  if (r.has("force_factor_tm")) s.force_factor = r.number("force_factor_tm");
  if (r.has("electrical_q")) s.electrical_q = r.number("electrical_q");
  if (s.force_factor <= 0) s.force_factor = std::sqrt(damping / s.electrical_q);
  const double follows = damping / (s.force_factor * s.force_factor);
  if (s.electrical_q > 0 && std::abs(s.electrical_q / follows - 1) > agreement) {
    r.refuse("electrical_q",
             "within 10 % of " + number_text(std::round(1e4 * follows) / 1e4) +
                 ", which follows from mass, compliance, force factor and coil resistance",
             "check the five against each other and their units, or leave out electrical_q");
    return false;
  }
  s.electrical_q = follows;
  return true;
}

}  // namespace

std::optional<SmallSignal> read_small_signal(const Reader &r) {
  bool any = false;
  for (const char *key : needed) any = any || r.has(key);
  for (const char *key : others) any = any || r.has(key);
  if (!any || !is_complete(r)) return {};
  const std::size_t before = r.problems->found;
  SmallSignal s;
  s.moving_mass = 1e-3 * r.number("moving_mass_g");
  s.compliance = 1e-3 * r.number("compliance_mm_n");
  s.mechanical_q = r.number("mechanical_q");
  s.coil_resistance = r.number("coil_resistance_ohm");
  s.coil_inductance = 1e-3 * r.number("coil_inductance_mh");
  s.cone_area = 1e-4 * r.number("cone_area_cm2");
  s.voltage = r.number("voltage_v");
  const double mass = r.number("mass_kg");
  if (r.problems->found != before) return {};
  if (s.moving_mass >= mass) {
    r.refuse("moving_mass_g", "below " + number_text(1e3 * mass) + " g, the mass of the whole driver (mass_kg)",
             "check the unit: grams here, kilograms there");
    return {};
  }
  const double omega = 1 / std::sqrt(s.moving_mass * s.compliance), hertz = omega / (2 * M_PI);
  if (hertz < least_resonance || hertz > most_resonance) {
    r.refuse("compliance_mm_n",
             "a resonance of " + number_text(least_resonance) + " .. " + number_text(most_resonance) + " Hz",
             "with the moving mass it makes " + number_text(std::round(10 * hertz) / 10) + " Hz; check both units");
    return {};
  }
  if (!settle_motor(r, omega, s)) return {};
  if (r.problems->found != before) return {};
  return s;
}

}  // namespace stillbox
