// SPDX-License-Identifier: MIT
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

std::vector<Mistake> material_mistakes() {
  return {
      {"indefinite material",
       box + "[material.own] #!\nkind = \"transversely isotropic\"\ndensity_kg_m3 = 700\nloss_factor = "
             "0.02\nyoungs_modulus_in_plane_gpa = 3\nyoungs_modulus_through_gpa = 3\nshear_modulus_through_gpa = "
             "1\npoissons_ratio_in_plane = 0.9\npoissons_ratio_through = 0.9\n",
       {"key material.own", "positive definite"}},
      {"Poisson's ratio too large",
       wood(wood_moduli + "poissons_ratio_along_across = 3.0\npoissons_ratio_across_along = 0.9 #!\n"),
       {"key material.own.poissons_ratio_across_along", "0.3 within 5 %"}},
      {"inconsistent Poisson's ratios",
       wood(wood_moduli + "poissons_ratio_along_across = 0.4\npoissons_ratio_across_along = 0.4 #!\n"),
       {"key material.own.poissons_ratio_across_along", "value 0.4", "0.04 within 5 %"}},
      {"rubber with nu 0.5",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "0.01\npoissons_ratio = 0.5 #!\n",
       {"key material.own.poissons_ratio", "value 0.5", "-0.9 .. 0.495"}},
      {"modulus in Pa",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "3.5e9 #!\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "value 3.5e+09", "GPa"}},
      {"modulus zero",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "0 #!\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "value 0", "1e-06 .. 1500 GPa"}},
      {"modulus missing",
       box + "[material.own] #!\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "missing"}},
      {"modulus of another kind",
       box + "[material.own]\nbased_on = \"mdf\"\nyoungs_modulus_gpa = 3.5 #!\n",
       {"key material.own.youngs_modulus_gpa", "unknown key", "youngs_modulus_in_plane_gpa"}},
      {"unknown kind",
       box + "[material.own]\nkind = \"anisotropic\" #!\ndensity_kg_m3 = 1000\nloss_factor = 0.5\n",
       {"key material.own.kind", "value \"anisotropic\"", "isotropic, transversely isotropic, orthotropic"}},
      {"unknown base",
       box + "[material.own]\nbased_on = \"mfd\" #!\n",
       {"key material.own.based_on", "did you mean \"mdf\""}},
      {"ring of bases", box + "[material.a]\nbased_on = \"b\" #!\n[material.b]\nbased_on = \"a\"\n", {"in a ring"}},
      {"material is a number", box + "[material]\nown = 5 #!\n", {"key material.own", "value 5", "table"}},
      {"negative density",
       box + "[material.own]\nbased_on = \"mdf\"\ndensity_kg_m3 = -1 #!\n",
       {"key material.own.density_kg_m3", "value -1", "10 .. 25000 kg/m3"}},
  };
}

/// A material with a table; every part may be replaced by a wrong one.
struct TableText {
  std::string temperature;
  std::string frequency = "frequency_hz = [10, 100, 1000]";
  std::string modulus = "shear_modulus_mpa = [1, 2, 4]";
  std::string loss = "loss_factor = [0.5, 0.6, 0.5]";
  std::string reference = "reference_temperature_c = 20";
  std::string rest;
  std::string constants;
  std::string heading = "[material.own.complex_modulus]";

  std::string text() const {
    return temperature + "\n" + box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1200\n" +
           "poissons_ratio = 0.45\n" + constants + "\n" + heading + "\n" + frequency + "\n" + modulus + "\n" + loss +
           "\n" + reference + "\n" + rest + "\n";
  }
};

std::string table(std::string TableText::*part, const std::string &lines, const std::string &temperature = "",
                  const std::string &rest = "") {
  TableText t;
  t.rest = rest;
  t.temperature = temperature;
  t.*part = lines;
  return t.text();
}

/// Without one of its parts, or with `instead` of it: the problem is at the heading.
std::string without(std::string TableText::*part, const std::string &instead = "") {
  TableText t;
  t.heading += " #!";
  t.*part = instead;
  return t.text();
}

const std::string wlf = "shift = \"wlf\"\nwlf_c1 = 17.44\nwlf_c2_k = 51.6";

std::vector<Mistake> table_mistakes() {
  using T = TableText;
  const std::string own = "key material.own.complex_modulus.";
  return {
      {"modulus column too short",
       table(&T::modulus, "shear_modulus_mpa = [1, 2] #!"),
       {own + "shear_modulus_mpa", "value 2 numbers", "3 numbers, as in frequency_hz"}},
      {"loss column too long",
       table(&T::loss, "loss_factor = [0.5, 0.6, 0.5, 0.4] #!"),
       {own + "loss_factor", "value 4 numbers", "3 numbers, as in frequency_hz"}},
      {"frequencies out of order",
       table(&T::frequency, "frequency_hz = [10, 1000, 100] #!"),
       {own + "frequency_hz", "value 1000, 100", "increasing", "sort the rows"}},
      {"frequency twice",
       table(&T::frequency, "frequency_hz = [10, 10, 100] #!"),
       {own + "frequency_hz", "value 10, 10", "each frequency once"}},
      {"frequency zero",
       table(&T::frequency, "frequency_hz = [0, 10, 100] #!"),
       {own + "frequency_hz", "value 0", "1e-12 .. 1e+15 Hz"}},
      {"one frequency", table(&T::frequency, "frequency_hz = [10] #!"), {own + "frequency_hz", "2 .. 200 numbers"}},
      {"no list of frequencies",
       table(&T::frequency, "frequency_hz = 10 #!"),
       {own + "frequency_hz", "value 10", "2 .. 200 numbers"}},
      {"no frequencies", without(&T::frequency), {own + "frequency_hz", "missing", "1e-12 .. 1e+15 Hz"}},
      {"no modulus", without(&T::modulus), {own + "shear_modulus_mpa", "missing", "or youngs_modulus_mpa"}},
      {"no loss factor", without(&T::loss), {own + "loss_factor", "missing", "0.0001 .. 3"}},
      {"no reference temperature",
       without(&T::reference),
       {own + "reference_temperature_c", "missing", "-60 .. 150 degrees C"}},
      {"no C2",
       without(&T::rest, "shift = \"wlf\"\nwlf_c1 = 17"),
       {own + "wlf_c2_k", "missing", "1 .. 1000 K", "shift = \"wlf\" needs it"}},
      {"no activation energy",
       without(&T::rest, "shift = \"arrhenius\""),
       {own + "activation_energy_kj_mol", "missing", "0 .. 2000 kJ/mol", "needs it"}},
      {"negative modulus",
       table(&T::modulus, "shear_modulus_mpa = [1, -2, 4] #!"),
       {own + "shear_modulus_mpa", "value -2", "1e-06 .. 1e+06 MPa"}},
      {"modulus column in Pa",
       table(&T::modulus, "youngs_modulus_mpa = [1e7, 2e7, 4e7] #!"),
       {own + "youngs_modulus_mpa", "value 1e+07", "MPa"}},
      {"modulus as text",
       table(&T::modulus, "shear_modulus_mpa = [1, \"2\", 4] #!"),
       {own + "shear_modulus_mpa", "value \"2\"", "not a text"}},
      {"modulus not a number",
       table(&T::modulus, "shear_modulus_mpa = [1, nan, 4] #!"),
       {own + "shear_modulus_mpa", "value nan"}},
      {"both moduli",
       table(&T::modulus, "shear_modulus_mpa = [1, 2, 4]\nyoungs_modulus_mpa = [3, 6, 12] #!"),
       {own + "youngs_modulus_mpa", "one of shear_modulus_mpa and youngs_modulus_mpa"}},
      {"loss factor too large",
       table(&T::loss, "loss_factor = [0.5, 3.5, 0.5] #!"),
       {own + "loss_factor", "value 3.5", "0.0001 .. 3"}},
      {"loss factor zero",
       table(&T::loss, "loss_factor = [0.5, 0, 0.5] #!"),
       {own + "loss_factor", "value 0;", "0.0001 .. 3"}},
      {"reference temperature in kelvins",
       table(&T::reference, "reference_temperature_c = 293 #!"),
       {own + "reference_temperature_c", "value 293", "-60 .. 150 degrees C"}},
      {"unknown shift",
       table(&T::rest, "shift = \"vlf\" #!\nwlf_c1 = 17"),
       {own + "shift", "value \"vlf\"", "did you mean \"wlf\""}},
      {"wlf constant of no shift",
       table(&T::rest, "wlf_c1 = 17.44 #!"),
       {own + "wlf_c1", "value 17.44", "shift = \"wlf\"", "it is \"none\""}},
      {"wlf constant of arrhenius",
       table(&T::rest, "shift = \"arrhenius\"\nactivation_energy_kj_mol = 100\nwlf_c2_k = 50 #!"),
       {own + "wlf_c2_k", "it is \"arrhenius\""}},
      {"activation energy in J",
       table(&T::rest, "shift = \"arrhenius\"\nactivation_energy_kj_mol = 1e5 #!"),
       {own + "activation_energy_kj_mol", "value 100000", "0 .. 2000 kJ/mol"}},
      {"C2 of nothing",
       table(&T::rest, "shift = \"wlf\"\nwlf_c1 = 17\nwlf_c2_k = 0 #!"),
       {own + "wlf_c2_k", "value 0", "1 .. 1000 K"}},
      {"too cold for wlf",
       table(&T::rest, wlf + " #!", "temperature_c = -35"),
       {own + "wlf_c2_k", "value 51.6", "more than 55 K at the case's -35 C", "C2 + T - T0"}},
      {"shifted beyond use",
       table(&T::rest, "shift = \"wlf\"\nwlf_c1 = 100 #!\nwlf_c2_k = 61", "temperature_c = -40"),
       {own + "wlf_c1", "value 100", "up to 30 decades", "6000 decades"}},
      {"no shift at another temperature",
       table(&T::rest, "shift = \"none\" #!", "temperature_c = 35"),
       {own + "shift", "value \"none\"", "34 .. 36 C", "holds at 20 C", "outside = \"hold\""}},
      {"law outside the table",
       table(&T::rest, "law_at_hz = 5000 #!"),
       {own + "law_at_hz", "value 5000", "10 .. 1000 Hz, the table's at 20 C"}},
      {"law outside the shifted table",
       table(&T::rest, wlf + "\nlaw_at_hz = 900 #!", "temperature_c = 15"),
       {own + "law_at_hz", "value 900", "Hz, the table's at 15 C", "outside = \"hold\""}},
      {"unknown way outside",
       table(&T::rest, "outside = \"clamp\" #!"),
       {own + "outside", "value \"clamp\"", "refuse, hold"}},
      {"unknown key of a table",
       table(&T::rest, "wlf_c2_c = 51.6 #!"),
       {own + "wlf_c2_c", "did you mean \"wlf_c2_k\""}},
      {"constant modulus beside a table",
       table(&T::constants, "youngs_modulus_gpa = 0.01 #!"),
       {"key material.own.youngs_modulus_gpa", "not together with complex_modulus"}},
      {"constant loss factor beside a table",
       table(&T::constants, "loss_factor = 0.3 #!"),
       {"key material.own.loss_factor", "not together with complex_modulus"}},
      {"table of a wood",
       box + "[material.own]\nbased_on = \"mdf\"\ncomplex_modulus = { loss_factor = [1, 1] } #!\n",
       {"key material.own.complex_modulus", "kind \"transversely isotropic\"", "kind = \"isotropic\" only"}},
      {"table is a number",
       box +
           "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1200\npoissons_ratio = 0.4\ncomplex_modulus = 3 #!\n",
       {"key material.own.complex_modulus", "value 3", "a table"}},
      {"case too hot", "temperature_c = 200 #!\n" + box, {"key temperature_c", "value 200", "-40 .. 80 degrees C"}},
      {"case temperature as text", "temperature_c = \"20 C\" #!\n" + box, {"key temperature_c", "value \"20 C\""}},
  };
}

TEST(BadInput, Material) {
  for (const Mistake &mistake : material_mistakes()) expect_refused(mistake);
}
TEST(BadInput, TableOfAMaterial) {
  for (const Mistake &mistake : table_mistakes()) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
