// SPDX-License-Identifier: MIT
// `board` as a user meets it: moduli back from tones, a material that a case can read, and wrong input refused.
#include "postprocess/board_command.h"

#include <filesystem>
#include <fstream>

#include "solver/free_bar.h"
#include "solver/free_plate.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/knock_recordings.h"

namespace stillbox {
namespace {

/// Invented: 400 x 50 x 18 mm of 750 kg/m3.
BoardOptions strip() {
  BoardOptions o;
  o.length = "400";
  o.width = "5 cm";
  o.thickness = "18";
  o.mass = 0.27;
  o.tones = {"242.0"};
  o.materials_path = built_in_materials;
  return o;
}

/// Invented: 400 x 320 x 6 mm of 680 kg/m3.
BoardOptions plate() {
  BoardOptions o;
  o.length = "400";
  o.width = "320";
  o.thickness = "6";
  o.mass = 0.52224;
  o.based_on = "birch-plywood-12mm";
  o.materials_path = built_in_materials;
  return o;
}

/// The material of the block at the end of `text`, read as part of a case.
Material read_back(const std::string &text) {
  const std::size_t at = text.find("For a case file:\n\n");
  EXPECT_NE(at, std::string::npos) << text;
  const std::string block = text.substr(at + 18, text.find("\nwritten:", at) - at - 18);
  const CaseText trial(
      "name = \"t\"\nup_to_hz = 500\n[[board]]\nname = \"b\"\nsize = [400, 50]\nthickness = 18\n"
      "material = \"tapped board\"\n" +
      block);
  const CaseFile file = trial.read();
  for (const Material &m : file.variants.at(0).materials)
    if (m.name == "tapped board") return m;
  ADD_FAILURE() << "no such material";
  return {};
}

// Fibre board, 3.5 GPa in its plane and 0.15 GPa shear through it, rings at 242.0 Hz by the solid solver
// (cases/free-strip.toml); ASTM E1876 makes it 3.33 GPa.
TEST(Board, StripOfFibreBoard) {
  const std::string text = run_board(strip());
  EXPECT_NE(text.find("3.33"), std::string::npos) << text;
  const Material m = read_back(text);
  const StressLaw s = m.law.inverse();
  EXPECT_NEAR(1 / s(0, 0) / 3.5e9, 1, 0.01);
  EXPECT_NEAR(s(0, 0) / s(4, 4), 0.15 / 3.5, 1e-4);
  EXPECT_NEAR(m.density, 750, 0.01);
  // sd of E: three times that of thickness and length, once of width and mass, twice of the tone, and what 30 % less
  // shear does; the share of shear takes a little off the thickness's. The tolerance is twice that, rounded up to 0.1
  // %.
  const FreeBar bar{0.4, 0.05, 0.018, 0.27};
  const double shear =
      bar_youngs_modulus(bar, 242, 1, 0.7 * 0.15 / 3.5) / bar_youngs_modulus(bar, 242, 1, 0.15 / 3.5) - 1;
  const double sd = std::sqrt(std::pow(3 * 0.1 / 18, 2) + std::pow(3 * 0.5 / 400, 2) + std::pow(0.5 / 50, 2) +
                              std::pow(0.002, 2) + std::pow(2 * 0.002, 2) + shear * shear);
  EXPECT_NEAR(m.modulus_tolerance / (2 * sd), 1, 0.05);
}

TEST(Board, IsotropicStripByTheStandard) {
  BoardOptions o = strip();
  o.based_on = "aluminium";
  o.poissons_ratio = "0.25";
  o.length = "300";
  o.mass = 0.2025;
  o.tones = {"438.597", "1359.69:torsional", "1131.2:edgewise", "1184.71:second-flexural"};
  const std::string text = run_board(o);
  const Material m = read_back(text);
  EXPECT_NEAR(1 / m.law.inverse()(0, 0) / 3.5e9, 1, 1e-4);
  const double sd = std::sqrt(std::pow(3 * 0.1 / 18, 2) + std::pow(3 * 0.5 / 300, 2) + std::pow(0.5 / 50, 2) +
                              std::pow(0.0005 / 0.2025, 2) + std::pow(2 * 0.002, 2));
  EXPECT_NEAR(m.modulus_tolerance / (2 * sd), 1, 0.05);
  EXPECT_NE(text.find("torsional"), std::string::npos);
  EXPECT_NE(text.find("Poisson's ratio 0.25"), std::string::npos) << text;
}

TEST(Board, StripAcrossTheGrain) {
  BoardOptions o = strip();
  o.based_on = "birch-plywood-18mm";
  o.grain = "across";
  const FreeBar bar{0.4, 0.05, 0.018, 0.27};
  o.tones = {std::to_string(bar_frequencies(bar, 7e9, 0.17 / 7.45 * 7e9, 1)[0])};
  const StressLaw s = read_back(run_board(o)).law.inverse();
  EXPECT_NEAR(1 / s(1, 1) / 7e9, 1, 1e-4);
  EXPECT_NEAR(s(1, 1) / s(0, 0), 10.05 / 7.45, 1e-3);
}

TEST(Board, PlateWithGrain) {
  const PlateModuli moduli{10e9, 7e9, 0.7e9, 0.05, 0.2 / 10.72 * 10e9, 0.17 / 6.78 * 7e9};
  const FreePlate sizes{0.4, 0.32, 0.006, 0.52224};
  for (const bool labelled : {true, false}) {
    BoardOptions o = plate();
    for (const PlateMode &mode : plate_modes(sizes, moduli, 5)) {
      o.tones.push_back(std::to_string(mode.frequency));
      if (labelled) o.tones.back() += ":" + std::to_string(mode.nodes_x) + "," + std::to_string(mode.nodes_y);
    }
    const std::string text = run_board(o);
    const StressLaw s = read_back(text).law.inverse();
    EXPECT_NEAR(1 / s(0, 0) / moduli.ex, 1, 1e-3) << text;
    EXPECT_NEAR(1 / s(1, 1) / moduli.ey, 1, 1e-3);
    EXPECT_NEAR(1 / s(5, 5) / moduli.gxy, 1, 1e-3);
  }
}

TEST(Board, FromARecording) {
  TestKnocks knocks;
  knocks.rate = 16000;
  knocks.times = {0.5, 1.7};
  knocks.strengths = {1, 0.8};
  knocks.length = 3;
  knocks.contact = 0.001;
  knocks.noise = 0.0005;
  knocks.modes = {{90, 0.05, 0.05, 0}, {242, 0.018, 0.4, 0}, {650, 0.02, 0.2, 0}};
  const CaseText place("");
  BoardOptions o = strip();
  o.tones.clear();
  o.recording = (place.folder / "strip.wav").string();
  write_wav(o.recording, make_knocks(knocks));
  o.out = (place.folder / "out").string();
  const std::string text = run_board(o);
  const Material m = read_back(text);
  EXPECT_NEAR(1 / m.law.inverse()(0, 0) / 3.5e9, 1, 0.01);
  EXPECT_NEAR(m.loss_factor, 0.018, 0.001);
  EXPECT_TRUE(std::filesystem::exists(o.out + "/board.toml"));
}

TEST(Board, PlateAcrossTheGrain) {
  // Along the length (across the grain) 7 GPa; the reciprocal Poisson's ratio and both shear ratios are the base's.
  const PlateModuli moduli{7e9, 10e9, 0.7e9, 0.05 * 6.78 / 10.72, 0.17 / 6.78 * 7e9, 0.2 / 10.72 * 10e9};
  BoardOptions o = plate();
  o.grain = "across";
  for (const PlateMode &mode : plate_modes({0.4, 0.32, 0.006, 0.52224}, moduli, 5))
    o.tones.push_back(std::to_string(mode.frequency));
  const std::string text = run_board(o);
  const StressLaw s = read_back(text).law.inverse();
  EXPECT_NEAR(1 / s(1, 1) / moduli.ex, 1, 1e-3) << text;
  EXPECT_NEAR(1 / s(0, 0) / moduli.ey, 1, 1e-3);
  EXPECT_NEAR(1 / s(5, 5) / moduli.gxy, 1, 1e-3);
}

struct WrongBoard {
  const char *what;
  void (*change)(BoardOptions &);
  std::vector<std::string> parts;
  bool of_plate = false;
};

TEST(Board, WrongInputIsRefused) {
  const std::vector<WrongBoard> cases{
      {"length word", [](BoardOptions &o) { o.length = "long"; }, {"--length \"long\"", "mm"}},
      {"decimal comma", [](BoardOptions &o) { o.thickness = "17,8"; }, {"--thickness", "decimal point"}},
      {"length 0", [](BoardOptions &o) { o.length = "0"; }, {"--length", "50 .. 5000"}},
      {"negative width", [](BoardOptions &o) { o.width = "-50"; }, {"--width", "5 .. 5000"}},
      {"nan", [](BoardOptions &o) { o.width = "nan"; }, {"--width"}},
      {"thickness in m", [](BoardOptions &o) { o.thickness = "0.018"; }, {"--thickness", "0.5 .. 200", "millimetres"}},
      {"mass in g", [](BoardOptions &o) { o.mass = 270; }, {"--mass-kg", "750000", "kg"}},
      {"mass 0", [](BoardOptions &o) { o.mass = 0; }, {"--mass-kg", "0.001"}},
      {"mass nan", [](BoardOptions &o) { o.mass = NAN; }, {"--mass-kg"}},
      {"shape", [](BoardOptions &o) { o.shape = "disc"; }, {"--shape \"disc\"", "strip, plate"}},
      {"wide strip",
       [](BoardOptions &o) {
         o.width = "300";
         o.mass = 1.6;
         o.shape = "strip";
       },
       {"--width", "plate"}},
      {"block",
       [](BoardOptions &o) {
         o.length = "60";
         o.width = "20";
         o.mass = 0.016;
       },
       {"--thickness", "quarter"}},
      {"no tone", [](BoardOptions &o) { o.tones.clear(); }, {"exactly one of the three"}},
      {"two sources", [](BoardOptions &o) { o.heard = "heard.csv"; }, {"exactly one of the three"}},
      {"tone word", [](BoardOptions &o) { o.tones = {"abc"}; }, {"--tone \"abc\"", "5 .. 20000"}},
      {"tone low", [](BoardOptions &o) { o.tones = {"2"}; }, {"--tone \"2\""}},
      {"label", [](BoardOptions &o) { o.tones = {"242:bending"}; }, {"--tone", "second-flexural"}},
      {"plate label on strip", [](BoardOptions &o) { o.tones = {"242:2,0"}; }, {"--tone", "--shape plate"}},
      {"tone twice",
       [](BoardOptions &o) {
         o.tones = {"242", "250"};
       },
       {"--tone", "each mode once", "242"}},
      {"base", [](BoardOptions &o) { o.based_on = "oak"; }, {"--based-on \"oak\"", "mdf"}},
      {"tabled base", [](BoardOptions &o) { o.based_on = "bitumen-sheet-tabled"; }, {"--based-on"}},
      {"grain", [](BoardOptions &o) { o.grain = "width"; }, {"--grain", "along, across"}},
      {"Poisson", [](BoardOptions &o) { o.poissons_ratio = "0.6"; }, {"--poissons-ratio", "0.495"}},
      {"shear ratio", [](BoardOptions &o) { o.shear_ratio = "0"; }, {"--shear-ratio", "0.001"}},
      {"isotropic shear ratio",
       [](BoardOptions &o) {
         o.based_on = "aluminium";
         o.shear_ratio = "0.2";
       },
       {"--shear-ratio"}},
      {"loss factor", [](BoardOptions &o) { o.loss_factor = "x"; }, {"--loss-factor"}},
      {"thickness sd", [](BoardOptions &o) { o.thickness_sd = "9"; }, {"--thickness-sd", "callipers"}},
      {"mass sd", [](BoardOptions &o) { o.mass_sd = 0.2; }, {"--mass-sd-kg"}},
      {"frequency sd", [](BoardOptions &o) { o.frequency_sd_percent = 50; }, {"--frequency-sd-percent"}},
      {"name", [](BoardOptions &o) { o.name = "a\nb"; }, {"--name"}},
      {"no file",
       [](BoardOptions &o) {
         o.tones.clear();
         o.heard = "/nowhere/heard.csv";
       },
       {"/nowhere/heard.csv", "no such file"}},
      {"no recording",
       [](BoardOptions &o) {
         o.tones.clear();
         o.recording = "/nowhere/x.wav";
       },
       {"/nowhere/x.wav"}},
      {"two of three",
       [](BoardOptions &o) {
         o.tones = {"100", "120"};
       },
       {"--tone \"2\"", "3 modes"},
       true},
      {"label of a strip",
       [](BoardOptions &o) {
         o.tones = {"100:flexural", "120", "130"};
       },
       {"--tone", "142.3:2,0"},
       true},
      {"rigid",
       [](BoardOptions &o) {
         o.tones = {"100:1,0", "120", "130"};
       },
       {"--tone"},
       true},
      {"label twice",
       [](BoardOptions &o) {
         o.tones = {"100:2,0", "120:2,0", "130"};
       },
       {"each mode once"},
       true},
      {"use",
       [](BoardOptions &o) {
         o.tones = {"100", "120", "130"};
         o.use = 2;
       },
       {"--use"},
       true},
  };
  EXPECT_GE(cases.size(), 20u);
  for (const WrongBoard &wrong : cases) {
    const CaseText place("");
    BoardOptions o = wrong.of_plate ? plate() : strip();
    o.out = (place.folder / "out").string();
    wrong.change(o);
    try {
      run_board(o);
      ADD_FAILURE() << wrong.what << " was taken";
    } catch (const CaseError &error) {
      const std::string words = error.what();
      for (const std::string &part : wrong.parts)
        EXPECT_NE(words.find(part), std::string::npos) << wrong.what << ": " << words;
    }
    EXPECT_FALSE(std::filesystem::exists(o.out)) << wrong.what;
  }
}

}  // namespace
}  // namespace stillbox
