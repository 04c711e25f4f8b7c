// SPDX-License-Identifier: MIT
// Commands as a user meets them: a damped strip through the whole run, and a table that does not reach far enough.
#include "postprocess/commands.h"

#include <functional>

#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

std::string damped_strip(const std::string &table_end, const std::string &outside) {
  return R"(name = "strip"
up_to_hz = 900
[[board]]
name = "strip"
size = [300, 40]
material = "aluminium"
thickness = 4
[[sheet]]
name = "pad"
on = ["strip"]
core = { material = "tabled", thickness = 0.5 }
constraining = { material = "aluminium", thickness = 0.5 }
[material.tabled]
kind = "isotropic"
poissons_ratio = 0.4
density_kg_m3 = 1300
modulus_tolerance_percent = 50
density_tolerance_percent = 10
[material.tabled.complex_modulus]
frequency_hz = [10, )" +
         table_end + R"(]
shear_modulus_mpa = [0.5, 5]
loss_factor = [0.7, 0.9]
reference_temperature_c = 20
outside = ")" +
         outside + "\"\n";
}

RunOptions to_900() {
  RunOptions options;
  options.up_to = 900;
  return options;
}

TEST(Commands, DampedStripIsSolvedExactly) {
  const CaseText text(damped_strip("2000", "refuse"));
  const std::string out = run_modes(text.read(), to_900());
  EXPECT_NE(out.find("loss from"), std::string::npos) << out;
  EXPECT_NE(out.find("tabled"), std::string::npos);
  EXPECT_NE(out.find("energy %"), std::string::npos);
  RunOptions quick = to_900();
  quick.damping = Damping::energy;
  EXPECT_EQ(run_modes(text.read(), quick).find("from\nenergy %"), std::string::npos);
}

TEST(Commands, TableMustReachTheTopFrequency) {
  const CaseText text(damped_strip("800", "refuse"));
  const std::function<std::string()> commands[] = {[&] { return run_modes(text.read(), to_900()); },
                                                   [&] { return run_sheet(text.read(), to_900(), {}); }};
  for (const auto &command : commands) try {
      command();
      ADD_FAILURE() << "the table ends at 800 Hz";
    } catch (const CaseError &error) {
      const std::string words = error.what();
      for (const char *part :
           {"trial.toml", "material.tabled.complex_modulus.frequency_hz", "800 Hz", "900 Hz", "hold"})
        EXPECT_NE(words.find(part), std::string::npos) << words;
    }
  const CaseText held(damped_strip("800", "hold"));
  EXPECT_NO_THROW(run_modes(held.read(), to_900()));
}

}  // namespace
}  // namespace stillbox
