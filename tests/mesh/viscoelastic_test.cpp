// SPDX-License-Identifier: MIT
#include "mesh/viscoelastic.h"

#include <cmath>
#include <stdexcept>

#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

/// M = 2 MPa (f / 1 Hz)^0.4 and eta = 0.9 (f / 1 Hz)^-0.1 from 1 Hz to 10 kHz, at unequal steps.
Viscoelastic power_law() {
  Viscoelastic v;
  v.kind = Viscoelastic::Modulus::shear;
  v.frequency = {1, 3, 10, 200, 1e4};
  for (const double f : v.frequency) {
    v.modulus.push_back(2e6 * std::pow(f, 0.4));
    v.loss_factor.push_back(0.9 * std::pow(f, -0.1));
  }
  v.reference_temperature = 25;
  return v;
}

Viscoelastic with_wlf(double c1, double c2) {
  Viscoelastic v = power_law();
  v.shift = ShiftLaw::wlf;
  v.wlf_c1 = c1;
  v.wlf_c2 = c2;
  return v;
}

Viscoelastic with_arrhenius(double energy) {
  Viscoelastic v = power_law();
  v.shift = ShiftLaw::arrhenius;
  v.activation_energy = energy;
  return v;
}

std::string refusal(const Viscoelastic &v, double frequency, double temperature) {
  try {
    at(v, frequency, temperature);
  } catch (const std::domain_error &error) {
    return error.what();
  }
  return "";
}

void expect_parts(const std::string &text, const std::vector<std::string> &parts) {
  for (const std::string &part : parts) EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
}

TEST(Viscoelastic, PowerLawIsExactOnAndBetweenTheRows) {
  const Viscoelastic v = power_law();
  for (const double f : {1.0, 1.5, 3.0, 9.0, 10.0, 47.0, 200.0, 5000.0, 1e4}) {
    const ViscoelasticPoint point = at(v, f, 25);
    EXPECT_NEAR(point.modulus, 2e6 * std::pow(f, 0.4), 1e-9 * point.modulus) << f;
    EXPECT_NEAR(point.loss_factor, 0.9 * std::pow(f, -0.1), 1e-9) << f;
    EXPECT_NEAR(point.complex_modulus().imag(), 1.8e6 * std::pow(f, 0.3), 1e-9 * point.modulus) << f;
  }
}

TEST(Viscoelastic, RowsAreMetWhereTheTableIsNoPowerLaw) {
  Viscoelastic v = power_law();
  v.modulus = {1e6, 5e6, 6e6, 7e6, 90e6};
  v.loss_factor = {0.1, 1.4, 0.3, 0.5, 0.2};
  for (std::size_t i = 0; i < v.frequency.size(); ++i) {
    EXPECT_NEAR(at(v, v.frequency[i], 25).modulus, v.modulus[i], 1e-9 * v.modulus[i]);
    EXPECT_NEAR(at(v, v.frequency[i], 25).loss_factor, v.loss_factor[i], 1e-9);
  }
  // Half-way in log f between 10 and 200 Hz both are the geometric mean.
  EXPECT_NEAR(at(v, std::sqrt(2000.0), 25).modulus, std::sqrt(42.0) * 1e6, 1e-3);
  EXPECT_NEAR(at(v, std::sqrt(2000.0), 25).loss_factor, std::sqrt(0.15), 1e-9);
}

TEST(Viscoelastic, SlopeIsTheDifferenceQuotient) {
  const Viscoelastic v = with_wlf(8, 190);
  for (const double f : {4.0, 90.0, 900.0})
    for (const double t : {20.0, 25.0, 31.0}) {
      const double step = 1e-4 * f;
      const std::complex<double> quotient =
          (at(v, f + step, t).complex_modulus() - at(v, f - step, t).complex_modulus()) / (2 * step);
      EXPECT_LT(std::abs(slope_at(v, f, t) - quotient), 1e-6 * std::abs(quotient)) << f << " Hz " << t << " C";
    }
  for (const double t : {20.0, 25.0, 31.0}) {
    const double last = frequency_range(v, t).second;
    EXPECT_GT(slope_at(v, last, t).real(), 0.3 * at(v, last, t).modulus / last);
  }
  // Closed form of the power law: d/df 2e6 (f^0.4 + 0.9 i f^0.3).
  const std::complex<double> closed(0.8e6 * std::pow(90, -0.6), 0.54e6 * std::pow(90, -0.7));
  EXPECT_LT(std::abs(slope_at(v, 90, 25) - closed), 1e-9 * std::abs(closed));
}

// Universal constants 17.44 and 51.6 K from memory; the exponents independently recomputed.
TEST(Viscoelastic, WlfShift) {
  const Viscoelastic v = with_wlf(17.44, 51.6);
  EXPECT_DOUBLE_EQ(log10_shift(v, 25), 0);
  EXPECT_NEAR(log10_shift(v, 45), -4.871508, 1e-6);
  EXPECT_NEAR(log10_shift(v, 15), 4.192308, 1e-6);
  EXPECT_THROW(log10_shift(v, 25 - 51.6), std::domain_error);
  EXPECT_THROW(log10_shift(v, 25 - 60), std::domain_error);
  EXPECT_THROW(log10_shift(v, 25 - 51.5), std::domain_error) << "8992 decades";
}

// 100 kJ/mol from 25 to 45 C and to 5 C, independently recomputed.
TEST(Viscoelastic, ArrheniusShift) {
  const Viscoelastic v = with_arrhenius(100e3);
  EXPECT_DOUBLE_EQ(log10_shift(v, 25), 0);
  EXPECT_NEAR(log10_shift(v, 45), -1.101320, 1e-6);
  EXPECT_NEAR(log10_shift(v, 5), 1.259697, 1e-6);
  EXPECT_THROW(log10_shift(v, -273.15), std::domain_error);
  EXPECT_THROW(log10_shift(v, std::nan("")), std::domain_error);
}

TEST(Viscoelastic, ShiftingFrequencyEqualsShiftingTemperature) {
  for (const Viscoelastic &v : {with_wlf(8, 190), with_arrhenius(100e3)})
    for (const double t : {15.0, 22.0, 30.0}) {
      const double shift = std::pow(10, log10_shift(v, t));
      for (const double reduced : {2.0, 70.0, 3000.0}) {
        const ViscoelasticPoint there = at(v, reduced / shift, t), here = at(v, reduced, 25);
        EXPECT_NEAR(there.modulus, here.modulus, 1e-9 * here.modulus);
        EXPECT_NEAR(there.loss_factor, here.loss_factor, 1e-9);
      }
    }
  // Warmer is softer, at one frequency.
  EXPECT_LT(at(with_wlf(8, 190), 100, 30).modulus, 0.95 * at(with_wlf(8, 190), 100, 25).modulus);
}

TEST(Viscoelastic, FrequencyRangeIsCoveredToItsEnds) {
  for (const Viscoelastic &v : {power_law(), with_wlf(8, 190), with_arrhenius(80e3)})
    for (const double t : {24.5, 25.0, 25.9}) {
      const auto [low, high] = frequency_range(v, t);
      EXPECT_NEAR(at(v, low, t).modulus, v.modulus.front(), 1e-9 * v.modulus.front());
      EXPECT_NEAR(at(v, high, t).modulus, v.modulus.back(), 1e-9 * v.modulus.back());
      EXPECT_THROW(at(v, 0.999 * low, t), std::domain_error);
      EXPECT_THROW(at(v, 1.001 * high, t), std::domain_error);
    }
  const auto [low, high] = frequency_range(with_wlf(8, 190), 35);
  EXPECT_NEAR(low, std::pow(10, 80.0 / 200), 1e-9);
  EXPECT_NEAR(high / low, 1e4, 1e-6);
}

TEST(Viscoelastic, RefusalSaysWhereAndWhatHelps) {
  expect_parts(refusal(with_wlf(8, 190), 1, 35),
               {"1 Hz and 35 C", "0.398107 Hz", "1 .. 10000 Hz", "2.51189 .. 25118.9 Hz", "outside = \"hold\""});
  expect_parts(refusal(power_law(), 100, 30), {"100 Hz and 30 C", "holds at 25 C", "shift", "outside = \"hold\""});
  expect_parts(refusal(with_wlf(17.44, 51.6), 100, -30), {"-30 C", "C2 + T - T0 is -3.4 K"});
  EXPECT_EQ(refusal(power_law(), 100, 25.9), "");
  EXPECT_THROW(at(power_law(), -1, 25), std::domain_error);
  EXPECT_THROW(at(power_law(), std::nan(""), 25), std::domain_error);
  EXPECT_THROW(at(power_law(), 0, 25), std::domain_error);
}

TEST(Viscoelastic, HoldKeepsTheEndValues) {
  Viscoelastic v = power_law();
  v.outside = Viscoelastic::Outside::hold;
  for (const double f : {0.0, 1e-6, 0.9}) {
    EXPECT_DOUBLE_EQ(at(v, f, 25).modulus, v.modulus.front()) << f;
    EXPECT_DOUBLE_EQ(at(v, f, 25).loss_factor, v.loss_factor.front()) << f;
  }
  EXPECT_NEAR(at(v, 1e6, 25).modulus, v.modulus.back(), 1e-6);
  EXPECT_EQ(slope_at(v, 0.5, 25), 0.0);
  EXPECT_EQ(slope_at(v, 2e4, 25), 0.0);
  EXPECT_GT(slope_at(v, 5e3, 25).real(), 0);
  // Without a shift, hold keeps the table as it is at any temperature.
  EXPECT_DOUBLE_EQ(at(v, 100, 60).modulus, at(v, 100, 25).modulus);
  EXPECT_THROW(at(v, -1, 25), std::domain_error);
  v.shift = ShiftLaw::wlf;
  v.wlf_c1 = 17.44;
  v.wlf_c2 = 51.6;
  EXPECT_THROW(at(v, 100, -30), std::domain_error);
}

const std::string sheet = R"([[sheet]]
name = "damping"
on = ["left"]
material = "own"
thickness = 2
)";

std::string own_material(const std::string &rest) {
  return sheet + R"([material.own]
kind = "isotropic"
poissons_ratio = 0.45
density_kg_m3 = 1200
[material.own.complex_modulus]
frequency_hz = [1, 100, 10000]
loss_factor = [0.5, 0.9, 0.6]
reference_temperature_c = 20
)" + rest;
}

const Material &named(const Structure &structure, const std::string &name) {
  for (const Material &m : structure.materials)
    if (m.name == name) return m;
  throw std::out_of_range(name);
}

TEST(Viscoelastic, ACaseHoldsTheTableAndTheLawThatGoesWithIt) {
  const CaseText file("temperature_c = 30\n" + box +
                      own_material("shear_modulus_mpa = [0.5, 2, 40]\nshift = \"wlf\"\nwlf_c1 = 8\nwlf_c2_k = 190\n"
                                   "law_at_hz = 500\noutside = \"hold\"\n"));
  const Structure structure = file.read().variants.at(0);
  EXPECT_DOUBLE_EQ(structure.temperature, 30);
  const Material &m = named(structure, "own");
  ASSERT_TRUE(m.viscoelastic.has_value());
  EXPECT_EQ(m.viscoelastic->kind, Viscoelastic::Modulus::shear);
  EXPECT_EQ(m.viscoelastic->outside, Viscoelastic::Outside::hold);
  EXPECT_DOUBLE_EQ(m.viscoelastic->modulus.at(2), 40e6);
  EXPECT_DOUBLE_EQ(m.viscoelastic->wlf_c2, 190);
  EXPECT_DOUBLE_EQ(m.law_frequency, 500);
  // Shift 10^-0.4: 500 Hz is read at 199.054 Hz, between 100 Hz and 10 kHz; independently recomputed.
  const double along = std::log10(500 * std::pow(10, -0.4) / 100) / 2;
  EXPECT_NEAR(m.law_modulus, 2e6 * std::pow(20, along), 1);
  EXPECT_NEAR(m.loss_factor, 0.9 * std::pow(0.6 / 0.9, along), 1e-9);
  // The shear modulus of the law is the one of the table.
  EXPECT_NEAR(m.law(3, 3), m.law_modulus, 1e-6 * m.law_modulus);
  EXPECT_NEAR(1 / m.law.inverse()(0, 0), 2.9 * m.law_modulus, 1e-6 * m.law_modulus);
  const std::complex<double> scale = law_scale(m, 500, 30);
  EXPECT_NEAR(scale.real(), 1, 1e-12);
  EXPECT_NEAR(scale.imag(), m.loss_factor, 1e-12);
  const ViscoelasticPoint other = at(*m.viscoelastic, 50, 25);
  EXPECT_LT(std::abs(law_scale(m, 50, 25) * m.law_modulus - other.complex_modulus()), 1e-6 * other.modulus);
  EXPECT_LT(law_scale(m, 50, 25).real(), 0.9);
}

TEST(Viscoelastic, ArrheniusAndYoungsModulusAreRead) {
  const CaseText file(
      box + own_material("youngs_modulus_mpa = [5, 20, 400]\nshift = \"arrhenius\"\nactivation_energy_kj_mol = 100\n"));
  const Structure structure = file.read().variants.at(0);
  EXPECT_DOUBLE_EQ(structure.temperature, 20);
  const Material &m = named(structure, "own");
  ASSERT_TRUE(m.viscoelastic.has_value());
  EXPECT_EQ(m.viscoelastic->kind, Viscoelastic::Modulus::youngs);
  EXPECT_EQ(m.viscoelastic->outside, Viscoelastic::Outside::refuse);
  EXPECT_DOUBLE_EQ(m.viscoelastic->activation_energy, 100e3);
  EXPECT_DOUBLE_EQ(m.law_frequency, 200);
  EXPECT_NEAR(m.law_modulus, 20e6 * std::pow(20, std::log10(2) / 2), 1);
  EXPECT_NEAR(1 / m.law.inverse()(0, 0), m.law_modulus, 1e-6 * m.law_modulus);
  try {
    law_scale(m, 2e4, 20);
    ADD_FAILURE() << "was not refused";
  } catch (const std::domain_error &error) {
    expect_parts(error.what(), {"material \"own\"", "20000 Hz and 20 C"});
  }
}

TEST(Viscoelastic, TheDefaultFrequencyIsBroughtIntoTheTable) {
  const CaseText file(box +
                      "[material.slow]\nbased_on = \"own\"\n[material.slow.complex_modulus]\nfrequency_hz = [1, "
                      "10, 50]\n" +
                      own_material("shear_modulus_mpa = [0.5, 2, 40]\n") +
                      "[[sheet]]\nname = \"second\"\non = [\"right\"]\nmaterial = \"slow\"\nthickness = 2\n");
  const Structure structure = file.read().variants.at(0);
  EXPECT_DOUBLE_EQ(named(structure, "own").law_frequency, 200);
  EXPECT_DOUBLE_EQ(named(structure, "slow").law_frequency, 50);
  EXPECT_NEAR(named(structure, "slow").law_modulus, 40e6, 1);
}

TEST(Viscoelastic, ATableReplacesTheConstantsOfItsBaseAndTheOtherWayRound) {
  const CaseText file(box + sheet +
                      "[material.own]\nbased_on = \"bitumen-sheet\"\n[material.own.complex_modulus]\nfrequency_hz = "
                      "[10, 1000]\nyoungs_modulus_mpa = [100, 400]\nloss_factor = [0.4, 0.4]\n"
                      "reference_temperature_c = 20\n[material.plain]\nbased_on = \"own\"\nyoungs_modulus_gpa = 0.3\n"
                      "loss_factor = 0.25\n[[sheet]]\nname = \"second\"\non = [\"right\"]\nmaterial = \"plain\"\n"
                      "thickness = 2\n");
  const Structure structure = file.read().variants.at(0);
  EXPECT_TRUE(named(structure, "own").viscoelastic.has_value());
  EXPECT_NEAR(named(structure, "own").loss_factor, 0.4, 1e-12);
  const Material &plain = named(structure, "plain");
  EXPECT_FALSE(plain.viscoelastic.has_value());
  EXPECT_EQ(plain.law_modulus, 0);
  for (const double f : {1.0, 1e4}) EXPECT_EQ(law_scale(plain, f, 60), std::complex<double>(1, 0.25));
}

TEST(Viscoelastic, VariantsKeepTheTemperature) {
  const CaseText file("temperature_c = 5\n" + box +
                      own_material("shear_modulus_mpa = [1, 2, 3]\noutside = \"hold\"\n") +
                      "[[variant]]\nname = \"bare\"\nremove = [\"damping\"]\n");
  for (const Structure &structure : file.read().variants) EXPECT_DOUBLE_EQ(structure.temperature, 5);
}

TEST(Viscoelastic, BuiltInTablesMeetTheirConstantNeighbours) {
  const CaseFile warm = CaseText("temperature_c = 80\n" + box).read(),
                 cold = CaseText("temperature_c = -40\n" + box).read();
  EXPECT_EQ(warm.variants.size() + cold.variants.size(), 2u);
  int tables = 0;
  const auto materials = read_materials_list(built_in_materials);
  for (const Material &m : materials) {
    if (!m.viscoelastic) continue;
    ++tables;
    const std::string plain = m.name.substr(0, m.name.rfind("-tabled"));
    for (const Material &other : materials)
      if (other.name == plain) {
        EXPECT_LT((m.law - other.law).norm(), 0.03 * other.law.norm()) << m.name;
        EXPECT_NEAR(m.loss_factor, other.loss_factor, 0.03 * other.loss_factor) << m.name;
      }
    // A room's temperatures over the range of a wall's modes.
    for (const double t : {10.0, 20.0, 35.0})
      for (const double f : {50.0, 2000.0}) EXPECT_GT(at(*m.viscoelastic, f, t).modulus, 0) << m.name;
  }
  EXPECT_EQ(tables, 2);
}

}  // namespace
}  // namespace stillbox
