// SPDX-License-Identifier: MIT
// `air` as a user meets it: the tables, the files, and what is refused before any work.
#include "postprocess/air_command.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "postprocess/commands.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

const std::string small_box = R"(name = "small"
up_to_hz = 900
base_name = "bare, \"plain\""
[cabinet]
outer_size = { width = 180, depth = 160, height = 260 }
board = { material = "mdf", thickness = 9 }
[[cut_out]]
name = "vent"
on = "back"
shape = "round"
centre = [90, 60]
diameter = 40
[[cut_out]]
name = "cup"
on = "back"
shape = "round"
centre = [90, 190]
diameter = 50
[[port]]
cut_out = "vent"
length = 60
[[variant]]
name = "lined"
[[variant.add.lining]]
name = "felt"
on = ["left", "top"]
thickness = 15
flow_resistivity_pa_s_m2 = 10000
)";

RunOptions quick(const std::string &out = "") { return quick_run(900, out); }

TEST(AirCommand, TablesAndFiles) {
  const CaseText text(small_box);
  const std::string out = (text.folder / "out").string();
  const std::string words = run_air(text.read(), quick(out));
  for (const char *part : {"small: lined", "tuned to", "Standing waves", "top-bottom, 1", "with air", "Coincidences",
                           "Closed cut-outs: "
                           "\"cup\"",
                           "T60 s", "not a measurement", "Left out"})
    EXPECT_NE(words.find(part), std::string::npos) << part << "\n" << words;
  expect_narrow(words);

  const auto root = nlohmann::json::parse(bytes_in(text.folder / "out" / "air.json"));
  EXPECT_EQ(root["schema"], "stillbox air 1");
  ASSERT_EQ(root["variants"].size(), 2u);
  for (const auto &variant : root["variants"]) {
    // Rigid box: c / (2 H) of the height inside, 242 mm; nothing is in the way.
    const double first = variant["sound_speed_m_s"].get<double>() / 2 / 0.242;
    EXPECT_NEAR(variant["standing_waves"][0]["alone_hz"].get<double>() / first, 1, 1e-4);
    const auto &port = variant["ports"][0];
    EXPECT_NEAR(port["tuning_hz"].get<double>() / port["hand_formula_hz"].get<double>(), 1, 0.06);
    EXPECT_LE(port["together_hz"].get<double>(), port["tuning_hz"].get<double>() * 1.0001);  // walls that give
    EXPECT_EQ(variant["openings"][1]["kind"], "closed");
  }
  // The lining damps the first wave and slows sound down in it.
  const auto &bare = root["variants"][0]["standing_waves"][0], &lined = root["variants"][1]["standing_waves"][0];
  EXPECT_GT(lined["rigid_walls_loss_factor"].get<double>(), 5 * bare["rigid_walls_loss_factor"].get<double>());
  EXPECT_LT(lined["rigid_walls_hz"].get<double>(), bare["rigid_walls_hz"].get<double>());

  std::istringstream rows(bytes_in(text.folder / "out" / "air.csv"));
  std::string row;
  std::getline(rows, row);
  EXPECT_EQ(row.rfind("variant,kind,number,label,alone_hz", 0), 0u);
  std::size_t walls = 0;
  while (std::getline(rows, row)) walls += row.find(",wall mode,") != std::string::npos;
  EXPECT_EQ(walls, root["variants"][0]["wall_modes"].size() + root["variants"][1]["wall_modes"].size());
  EXPECT_TRUE(std::filesystem::exists(text.folder / "out" / "lined-air.vtu"));
}

TEST(AirCommand, NeedsACabinet) {
  const CaseText text(
      "name = \"plate\"\nup_to_hz = 500\n[[board]]\nname = \"plate\"\nsize = [300, 200]\nmaterial = "
      "\"mdf\"\nthickness = 10\n");
  const std::string out = (text.folder / "out").string();
  try {
    run_air(text.read(), quick(out));
    ADD_FAILURE() << "was accepted";
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find("has no [cabinet]"), std::string::npos) << error.what();
  }
  EXPECT_FALSE(std::filesystem::exists(out));
}

}  // namespace
}  // namespace stillbox
