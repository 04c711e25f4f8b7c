// SPDX-License-Identifier: MIT
#include "mesh/case_viscoelastic.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>

#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr std::size_t most_rows = 200;
constexpr double mpa = 1e6;

std::string count_text(std::size_t count) { return std::to_string(count) + " numbers"; }

void read_columns(const Reader &r, Viscoelastic &v) {
  v.frequency = r.numbers("frequency_hz", 2, most_rows);
  const bool is_shear = r.has("shear_modulus_mpa"), is_youngs = r.has("youngs_modulus_mpa");
  v.kind = is_shear ? Viscoelastic::Modulus::shear : Viscoelastic::Modulus::youngs;
  if (is_shear && is_youngs)
    r.refuse("youngs_modulus_mpa", "one of shear_modulus_mpa and youngs_modulus_mpa",
             "keep the one that was measured; poissons_ratio gives the other");
  else if (!is_shear && !is_youngs)
    r.refuse("shear_modulus_mpa", allowed_text(*find_key(r.groups, "shear_modulus_mpa")) + " each",
             "add the storage modulus at each frequency, as shear_modulus_mpa or youngs_modulus_mpa");
  else
    v.modulus = r.numbers(is_shear ? "shear_modulus_mpa" : "youngs_modulus_mpa", 2, most_rows);
  for (double &value : v.modulus) value *= mpa;
  v.loss_factor = r.numbers("loss_factor", 2, most_rows);
}

/// After the columns themselves could be read: that they make a table.
void check_columns(const Reader &r, const Viscoelastic &v) {
  for (std::size_t i = 1; i < v.frequency.size(); ++i)
    if (!(v.frequency[i] > v.frequency[i - 1] * (1 + 1e-9))) {
      r.refuse_value("frequency_hz", number_text(v.frequency[i - 1]) + ", " + number_text(v.frequency[i]),
                     "increasing numbers", "sort the rows by frequency, each frequency once");
      break;
    }
  const std::string wanted = count_text(v.frequency.size()) + ", as in frequency_hz";
  const std::string advice = "give one number for each frequency";
  if (v.modulus.size() != v.frequency.size())
    r.refuse_value(v.kind == Viscoelastic::Modulus::shear ? "shear_modulus_mpa" : "youngs_modulus_mpa",
                   count_text(v.modulus.size()), wanted, advice);
  if (v.loss_factor.size() != v.frequency.size())
    r.refuse_value("loss_factor", count_text(v.loss_factor.size()), wanted, advice);
}

/// A constant of a shift law: wanted with this law, out of place with another one.
double read_constant(const Reader &r, const std::string &name, const std::string &law, const std::string &shift) {
  if (shift != law) {
    if (r.has(name))
      r.refuse(name, "only with shift = \"" + law + "\"",
               "remove this key, or set shift = \"" + law + "\"; it is \"" + shift + "\"");
    return 0;
  }
  if (r.has(name)) return r.number(name);
  r.refuse(name, allowed_text(*find_key(r.groups, name)), "add this key: shift = \"" + law + "\" needs it");
  return 0;
}

void read_shift(const Reader &r, Viscoelastic &v) {
  const std::size_t before = r.problems->found;
  v.reference_temperature = r.number("reference_temperature_c");
  v.outside = r.text("outside") == "hold" ? Viscoelastic::Outside::hold : Viscoelastic::Outside::refuse;
  const std::string shift = r.text("shift");
  // What a misspelt law would need is not known.
  if (r.problems->found > before) return;
  v.shift = shift == "wlf" ? ShiftLaw::wlf : shift == "arrhenius" ? ShiftLaw::arrhenius : ShiftLaw::none;
  v.wlf_c1 = read_constant(r, "wlf_c1", "wlf", shift);
  v.wlf_c2 = read_constant(r, "wlf_c2_k", "wlf", shift);
  v.activation_energy = 1e3 * read_constant(r, "activation_energy_kj_mol", "arrhenius", shift);
}

/// That the table can be used at the case's temperature.
void check_temperature(const Reader &r, const Viscoelastic &v, double temperature) {
  const std::string here = number_text(temperature) + " C";
  const double above = temperature - v.reference_temperature;
  if (v.shift == ShiftLaw::wlf && !(v.wlf_c2 + above > 0)) {
    r.refuse(
        "wlf_c2_k", "more than " + number_text(-above) + " K at the case's " + here,
        "C2 + T - T0 must stay above 0: correct C2 or reference_temperature_c, or change temperature_c of the case");
  } else if (v.shift == ShiftLaw::none && std::abs(above) > same_temperature &&
             v.outside == Viscoelastic::Outside::refuse) {
    r.refuse_value("shift", "\"none\"",
                   "at the case's " + here + " a shift, or a table for " + number_text(temperature - same_temperature) +
                       " .. " + number_text(temperature + same_temperature) + " C",
                   "this table holds at " + number_text(v.reference_temperature) +
                       " C: give its shift with temperature, or outside = \"hold\" to use it as it is");
  } else {
    try {
      log10_shift(v, temperature);
    } catch (const std::domain_error &e) {
      r.refuse(v.shift == ShiftLaw::wlf ? "wlf_c1" : "activation_energy_kj_mol",
               "up to 30 decades of shift at the case's " + here, e.what());
    }
  }
}

}  // namespace

std::optional<ComplexModulus> read_complex_modulus(const Reader &r, double temperature) {
  const std::size_t before = r.problems->found;
  const auto is_clean = [&] { return r.problems->found == before; };
  r.refuse_unknown_keys();
  ComplexModulus result;
  Viscoelastic &v = result.table;
  read_columns(r, v);
  if (is_clean()) check_columns(r, v);
  read_shift(r, v);
  const double wanted = r.number("law_at_hz");
  if (!is_clean()) return std::nullopt;
  check_temperature(r, v, temperature);
  if (!is_clean()) return std::nullopt;
  const auto [low, high] = frequency_range(v, temperature);
  const bool is_given = r.has("law_at_hz");
  if (is_given && v.outside == Viscoelastic::Outside::refuse && (wanted < low || wanted > high)) {
    r.refuse("law_at_hz",
             number_text(low) + " .. " + number_text(high) + " Hz, the table's at " + number_text(temperature) + " C",
             "choose a frequency inside the table, add rows, or set outside = \"hold\"");
    return std::nullopt;
  }
  result.law_at = is_given ? wanted : std::clamp(wanted, low, high);
  result.there = at(v, result.law_at, temperature);
  return result;
}

}  // namespace stillbox
