// SPDX-License-Identifier: MIT
#include <cmath>

#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

const std::string driver_hole = box + hole("centre = [100, 150]", "diameter = 120");

std::string driver(const std::string &lines) {
  return driver_hole + "[[driver]]\ncut_out = \"hole\"\nmass_kg = 1.2\n" + lines;
}

const std::string motor = "mechanical_q = 4.5\ncoil_resistance_ohm = 5.7\n";

TEST(BadDriver, SmallSignalParameters) {
  const std::vector<Mistake> mistakes{
      {"one of them alone",
       driver_hole +
           "[[driver]] #!\ncut_out = \"hole\"\nmass_kg = 1.2\nmoving_mass_g = 12\n"
           "compliance_mm_n = 1\n" +
           motor + "force_factor_tm = 6\n",
       {"key driver[1].cone_area_cm2", "missing", "go together"}},
      {"no motor",
       driver_hole +
           "[[driver]] #!\ncut_out = \"hole\"\nmass_kg = 1.2\nmoving_mass_g = 12\n"
           "compliance_mm_n = 1\n" +
           motor + "cone_area_cm2 = 90\n",
       {"key driver[1].force_factor_tm", "missing", "electrical_q"}},
      {"contradiction",
       driver("moving_mass_g = 12\ncompliance_mm_n = 1\nforce_factor_tm = 6\nelectrical_q = 0.8 #!\n"
              "cone_area_cm2 = 90\n" +
              motor),
       {"key driver[1].electrical_q", "value 0.8", "0.5485", "follows from"}},
      {"grams as kilograms",
       driver("moving_mass_g = 1300 #!\ncompliance_mm_n = 0.01\nforce_factor_tm = 6\n"
              "cone_area_cm2 = 90\n" +
              motor),
       {"key driver[1].moving_mass_g", "1200 g"}},
      {"units of the compliance",
       driver("moving_mass_g = 900\ncompliance_mm_n = 90 #!\nforce_factor_tm = 6\n"
              "cone_area_cm2 = 90\n" +
              motor),
       {"key driver[1].compliance_mm_n", "0.6 Hz", "5 .. 20000 Hz"}},
      {"cone larger than its hole",
       driver("moving_mass_g = 12\ncompliance_mm_n = 1\nforce_factor_tm = 6\n"
              "cone_area_cm2 = 130 #!\n" +
              motor),
       {"key driver[1].cone_area_cm2", "value 130", "113", "its cut-out"}},
      {"negative",
       driver("moving_mass_g = -12 #!\ncompliance_mm_n = 1\nforce_factor_tm = 6\ncone_area_cm2 = 90\n" + motor),
       {"key driver[1].moving_mass_g", "value -12", "0.01 .. 2000 g"}},
      {"text",
       driver("moving_mass_g = 12\ncompliance_mm_n = \"1 mm/N\" #!\nforce_factor_tm = 6\ncone_area_cm2 = 90\n" + motor),
       {"key driver[1].compliance_mm_n", "0.001 .. 100 mm/N"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

// The force factor gives the electrical Q and the other way round: Qes = 2 pi fs M Re / Bl^2 (Small 1972; from memory).
TEST(BadDriver, OneOfForceFactorAndElectricalQIsEnough) {
  const std::string rest = "moving_mass_g = 12\ncompliance_mm_n = 1\ncone_area_cm2 = 90\n" + motor;
  const CaseText by_force(driver(rest + "force_factor_tm = 6\n")), by_q(driver(rest + "electrical_q = 0.5485\n"));
  const SmallSignal a = *by_force.read().variants[0].rim_masses[0].small_signal;
  const SmallSignal b = *by_q.read().variants[0].rim_masses[0].small_signal;
  EXPECT_NEAR(a.electrical_q, std::sqrt(0.012 / 1e-3) * 5.7 / 36, 1e-12);
  EXPECT_NEAR(b.force_factor, 6, 1e-3);
  EXPECT_EQ(a.voltage, 2.83);
  EXPECT_EQ(a.coil_inductance, 0);
  EXPECT_NEAR(a.cone_area, 0.009, 1e-12);
}

TEST(BadDriver, WithoutThemItIsAMass) {
  const CaseText plain(driver(""));
  EXPECT_FALSE(plain.read().variants[0].rim_masses[0].small_signal);
}

}  // namespace
}  // namespace stillbox
