// SPDX-License-Identifier: MIT
// Density from a weighed piece. Figures by hand, beside each check.
#include "mesh/grid.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

std::string weighed_box(const std::string &weighed) {
  return "name = \"t\"\nup_to_hz = 1000\n[cabinet]\nouter_size = { width = 200, depth = 300, height = 400 }\n"
         "board = { material = \"own\", thickness = 18 }\n[material.own]\nbased_on = \"mdf\"\n" +
         weighed;
}

double density_of(const std::string &weighed) {
  return CaseText(weighed_box(weighed)).read().variants[0].materials[0].density;
}

TEST(Weighed, DensityIsMassOverVolume) {
  // 0.617 kg / (0.300 x 0.200 x 0.0157 m3 = 9.42e-4 m3) = 654.99 kg/m3
  EXPECT_NEAR(density_of("weighed = { mass_kg = 0.617, length = 300, width = 200, thickness = 15.7 }\n"), 654.99, 0.01);
  // The same piece in inches: 11.811 in = 300 mm.
  EXPECT_NEAR(density_of("weighed = { mass_kg = 0.617, length = \"30 cm\", width = \"0.2 m\", thickness = 15.7 }\n"),
              654.99, 0.01);
  // With a hole of 100 mm: 0.06 - 0.007854 = 0.052146 m2, times 0.0157 m: 753.64 kg/m3
  EXPECT_NEAR(density_of("weighed = { mass_kg = 0.617, length = 300, width = 200, thickness = 15.7, holes = [100] }\n"),
              753.64, 0.01);
}

TEST(Weighed, TakesThePlaceOfADensityThatIsBasedOn) {
  const std::string text = weighed_box("weighed = { mass_kg = 0.617, length = 300, width = 200, thickness = 15.7 }\n") +
                           "[material.other]\nbased_on = \"own\"\ndensity_kg_m3 = 800\n"
                           "[[variant]]\nname = \"v\"\nreplace = { cabinet = { board = { material = \"other\" } } }\n";
  const CaseFile file = CaseText(text).read();
  EXPECT_NEAR(file.variants[0].materials[0].density, 654.99, 0.01);
  EXPECT_DOUBLE_EQ(file.variants[1].materials[0].density, 800);
}

TEST(Weighed, MistakesAreRefused) {
  const std::vector<Mistake> mistakes = {
      {"both",
       weighed_box("#!density_kg_m3 = 700\nweighed = { mass_kg = 1, length = 300, width = 200, thickness = 18 }\n"),
       {"density_kg_m3", "700", "one of density_kg_m3 and weighed", "remove one"}},
      {"no mass",
       weighed_box("#!weighed = { length = 300, width = 200, thickness = 18 }\n"),
       {"material.own.weighed.mass_kg", "missing", "0.0001 .. 2000 kg"}},
      {"grams",
       weighed_box("#!weighed = { mass_kg = 617, length = 300, width = 200, thickness = 18 }\n"),
       {"material.own.weighed", "gives 571296 kg/m3", "10 .. 25000 kg/m3", "check the mass (kg)"}},
      {"open",
       weighed_box("#!weighed = { mass_kg = \"?\", length = 300, width = 200, thickness = 18 }\n"),
       {"mass_kg", "\"?\"", "give a number"}},
      {"all hole",
       weighed_box("#!weighed = { mass_kg = 0.5, length = 100, width = 100, thickness = 18, holes = [112] }\n"),
       {"weighed.holes", "less area than the piece has"}},
      {"unknown",
       weighed_box("#!weighed = { mass_kg = 0.8, length = 300, widht = 200, width = 200, thickness = 18 }\n"),
       {"widht", "did you mean \"width\"?"}},
      {"no table", weighed_box("#!weighed = 0.8\n"), {"material.own.weighed", "a table"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
