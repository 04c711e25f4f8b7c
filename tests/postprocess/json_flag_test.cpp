// SPDX-License-Identifier: MIT
// --json: every command that prints a table has it, and it says what the text and the files say.
#include <nlohmann/json.hpp>

#include "mesh/grid.h"
#include "postprocess/board_command.h"
#include "postprocess/commands.h"
#include "postprocess/listen_command.h"
#include "postprocess/match_command.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/knock_recordings.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

using Json = nlohmann::json;

const std::string bare_strip =
    "name = \"strip\"\nup_to_hz = 700\n[[board]]\nname = \"strip\"\nsize = [300, 40]\nmaterial = \"aluminium\"\n"
    "thickness = 4\n";

struct JsonCase {
  CaseText text{bare_strip};
  RunOptions options;
  CaseFile file = text.read();
  JsonCase() {
    options.up_to = 700;
    options.json = true;
    options.out = (text.folder / "out").string();
  }
  std::string written(const std::string &name) const { return bytes_in(options.out + "/" + name); }
};

TEST(JsonFlag, CheckAndMesh) {
  JsonCase c;
  const Json check = Json::parse(run_check(c.file, c.options));
  EXPECT_EQ(check["schema"], "stillbox check 1");
  // 0.3 x 0.04 x 0.004 m3 at 2700 kg/m3
  EXPECT_NEAR(double(check["variants"][0]["mass_kg"]), 0.1296, 1e-9);
  EXPECT_EQ(check["variants"][0]["boards"][0]["across_mm"], 300.0);
  EXPECT_TRUE(check["variants"][0]["inner_volume_l"].is_null());
  const Json mesh = Json::parse(run_mesh(c.file, c.options));
  EXPECT_EQ(mesh["schema"], "stillbox mesh 1");
  EXPECT_NEAR(double(mesh["variants"][0]["mass_kg"]), 0.1296, 1e-9);
  EXPECT_TRUE(std::filesystem::exists(std::string(mesh["variants"][0]["file"])));
  const CaseText with_driver(box +
                             "[[cut_out]]\nname = \"w\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 120]\n"
                             "diameter = 116\n[[driver]]\ncut_out = \"w\"\nmass_kg = 1.5\n");
  const CaseFile file = with_driver.read();
  const Json cabinet = Json::parse(run_check(file, c.options))["variants"][0];
  EXPECT_NEAR(double(cabinet["fittings_kg"]), 1.5, 1e-12);
  EXPECT_NEAR(double(cabinet["mass_kg"]), volumes_of(file.variants[0]).mass, 1e-9);
  EXPECT_NEAR(double(cabinet["inner_volume_l"]), 164 * 264 * 364 * 1e-6, 1e-6);  // clear size inside, by hand
  EXPECT_EQ(cabinet["boards"][0]["cut_outs"].size(), 1u);
}

TEST(JsonFlag, SolvedCommandsSayWhatTheirFilesSay) {
  JsonCase c;
  const std::string modes = run_modes(c.file, c.options);
  EXPECT_EQ(modes, c.written("modes.json"));
  // 1.028 t / L^2 sqrt(E / rho) = 232.7 Hz for 70 GPa, 2700 kg/m3 (thin beam; Poisson's ratio adds some 0.2 %)
  const double first = Json::parse(modes)["variants"][0]["modes"][0]["frequency_hz"];
  EXPECT_NEAR(first, 232.7, 1.5);

  SheetOptions sheet;
  sheet.materials_path = built_in_materials;
  const Json value = Json::parse(run_sheet(c.file, c.options, sheet));
  EXPECT_EQ(value["schema"], "stillbox sheet 1");
  const Json &variant = value["variants"][0];
  EXPECT_NEAR(double(variant["modes"][0]["frequency_hz"]), first, 1e-6 * first);
  ASSERT_FALSE(variant["faces"].empty());
  const Json &face = variant["faces"][0];
  EXPECT_EQ(face["whole"]["added_loss_by_mode"].size(), variant["modes"].size());
  EXPECT_NEAR(double(face["whole"]["area_m2"]), 0.3 * 0.04, 1e-9);
  EXPECT_NEAR(double(face["whole"]["added_loss_per_kg"]),
              double(face["whole"]["added_loss"]) / double(face["whole"]["mass_kg"]), 1e-9);
  EXPECT_NE(c.written("sheet.csv").find("bitumen-sheet"), std::string::npos);

  c.options.out.clear();
  const Json knock = Json::parse(run_knock(c.file, c.options, {}));
  EXPECT_EQ(knock["schema"], "stillbox knock 1");
  EXPECT_NEAR(double(knock["variants"][0]["modes"][0]["frequency_hz"]), first, 0.01 * first);

  const std::string heard = (c.text.folder / "heard.csv").string();
  std::ofstream(heard) << "frequency_hz\n230\n";
  MatchRequest request;
  request.heard_path = heard;
  request.materials_path = built_in_materials;
  c.options.out = (c.text.folder / "matched").string();
  const std::string matched = run_match(c.file, c.options, request);
  EXPECT_EQ(matched, c.written("match.json"));
}

TEST(JsonFlag, ListenAndBoard) {
  const CaseText place("");
  TestKnocks knocks;
  knocks.modes = {{312, 0.02, 0.2, 0}};
  knocks.noise = 1e-4;
  const std::string wav = (place.folder / "knock.wav").string();
  write_wav(wav, make_knocks(knocks));
  ListenOptions listen;
  listen.recording = wav;
  listen.json = true;
  const Json heard = Json::parse(run_listen(listen));
  EXPECT_EQ(heard["schema"], "stillbox heard 1");
  double loudest = 0, level = -1e9;
  for (const Json &mode : heard["modes"])
    if (double(mode["level_db"]) > level) {
      level = mode["level_db"];
      loudest = mode["frequency_hz"];
    }
  EXPECT_NEAR(loudest, 312, 0.5) << heard.dump(1);  // what the recording was made of
  BoardOptions board;
  board.length = "400";
  board.width = "50";
  board.thickness = "18";
  board.mass = 0.27;
  board.tones = {"242.0"};
  board.materials_path = built_in_materials;
  const std::string text = run_board(board);
  board.json = true;
  const Json json = Json::parse(run_board(board));
  EXPECT_EQ(json["schema"], "stillbox board 1");
  EXPECT_NEAR(double(json["material"]["density_kg_m3"]), 750, 1e-6);  // 0.27 kg / 3.6e-4 m3
  // The strip of free-strip.toml: 3.5 GPa in the plane rings at 242.0 Hz.
  EXPECT_NEAR(double(json["material"]["youngs_modulus_gpa"][0]), 3.5, 0.02);
  EXPECT_NE(text.find(std::string(json["case_file"])), std::string::npos);
}

TEST(JsonFlag, CommandLinePrintsNothingElse) {
  const CaseText text(bare_strip);
  for (const char *command : {"check", "modes", "cut", "converge", "knock", "sheet"}) {
    const Ran result = ran(std::string(STILLBOX_BINARY " ") + command + " " + text.path + " --json 2>&1");
    EXPECT_EQ(result.code, 0) << result.out;
    const Json json = Json::parse(result.out, nullptr, false);
    EXPECT_FALSE(json.is_discarded()) << command << "\n" << result.out;
  }
  const Ran wrong = ran(STILLBOX_BINARY " check " + text.path + " --variant none --json 2>/dev/null");
  EXPECT_EQ(wrong.code, 2);
  EXPECT_EQ(wrong.out, "");
}

}  // namespace
}  // namespace stillbox
