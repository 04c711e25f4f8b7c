// SPDX-License-Identifier: MIT
// Case files written from answers: read back, and every answer that cannot be.
#include "postprocess/start_command.h"

#include <cmath>
#include <sstream>

#include "mesh/grid.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

/// A folder with nothing in it but what `start` writes.
struct StartFolder {
  CaseText place{""};
  StartOptions options;
  StartFolder() {
    options.path = (place.folder / "mine.toml").string();
    options.materials_path = built_in_materials;
  }
  bool wrote() const { return std::filesystem::exists(options.path); }
  CaseFile read() const { return read_case(options.path, built_in_materials); }
  std::string text() const { return bytes_in(options.path); }
  std::string run(const std::string &answers = "") {
    std::istringstream in(answers);
    std::ostringstream out;
    const std::string result = run_start(options, in, out);
    prompts = out.str();
    return result;
  }
  std::string prompts;
};

void set_sizes(StartOptions &o) {
  o.width = "8 1/4 in";
  o.depth = "250";
  o.height = "33 cm";
  o.thickness = "15.7";
}

std::string refused(StartFolder &folder, const std::string &answers = "") {
  try {
    folder.run(answers);
  } catch (const CaseError &error) {
    EXPECT_FALSE(folder.wrote());
    return error.what();
  }
  ADD_FAILURE() << "was accepted";
  return "";
}

TEST(Start, OptionsAloneMakeASoundCase) {
  StartFolder folder;
  set_sizes(folder.options);
  folder.options.name = "desk \"box\"";
  folder.options.material = "particleboard";
  folder.options.baffle_thickness = "22";
  folder.options.weighed = "300, 200, 15.7, 0.617";
  folder.options.cut_outs = {"woofer, baffle, round, 105, 105, 116", "cup, back, rectangle, 105, 60, 90, 60",
                             "vent, back, slot, 105, 290, 100, 30"};
  folder.options.drivers = {"woofer, 1.1, rigid basket"};
  folder.options.braces = {"b1, shelf, height, 230", "b2, window, height, 190, 40", "b3, rib, left, height, 100, 20",
                           "b4, bar, width, 100, 250, 20, 20", "b5, corner block, left, top, 20, 20"};
  const std::string told = folder.run();
  EXPECT_TRUE(folder.prompts.empty()) << folder.prompts;
  const CaseFile file = folder.read();
  EXPECT_EQ(file.name, "desk \"box\"");
  const Structure &s = file.variants[0];
  ASSERT_TRUE(s.cabinet);
  EXPECT_NEAR(s.cabinet->outer.x(), 0.20955, 1e-9);  // 8.25 x 25.4 mm
  EXPECT_NEAR(s.cabinet->outer.z(), 0.33, 1e-9);
  EXPECT_EQ(s.boards.size(), 11u);
  EXPECT_NEAR(s.boards[0].thickness(), 0.022, 1e-9);
  EXPECT_NEAR(s.materials[0].density, 654.99, 0.01);  // 0.617 kg / 9.42e-4 m3, by hand
  ASSERT_EQ(s.rim_masses.size(), 1u);
  EXPECT_TRUE(s.rim_masses[0].rigid_basket);
  EXPECT_NE(told.find("11 boards"), std::string::npos) << told;
  // By hand: the box less its clear inside, less 116 mm, 90 x 60 and the slot of 100 x 30 with round ends.
  const double wood_of_walls =
      0.20955 * 0.25 * 0.33 - (0.20955 - 2 * 0.0157) * (0.25 - 0.0157 - 0.022) * (0.33 - 2 * 0.0157) -
      M_PI / 4 * 0.116 * 0.116 * 0.022 - 0.09 * 0.06 * 0.0157 - (0.07 * 0.03 + M_PI / 4 * 0.03 * 0.03) * 0.0157;
  const Volumes volumes = volumes_of(s);
  double walls = 0;
  for (int w = 0; w < 6; ++w) walls += volumes.board[w];
  EXPECT_NEAR(walls, wood_of_walls, 1e-9);
}

TEST(Start, AsksAgainUntilAnAnswerWillDo) {
  StartFolder folder;
  // name, width, depth, height, material, thickness, baffle, weighed, cut-outs, drivers, braces, frequency
  folder.run(
      "\nwide\n210\n5\n250\n330\noak\nmdf\n400\n18\n\n300, 200, 15.7\n\n"
      "w, baffle, round, 10, 105, 116\nw, baffle, round, 105, 105, 116\nheavy\n1.1, rigid basket\n\n"
      "b, shelf, height, 1\nb, shelf, height, 165\n\n5\n800\n");
  const CaseFile file = folder.read();
  EXPECT_EQ(file.mesh.up_to, 800);
  EXPECT_EQ(file.variants[0].boards.size(), 7u);
  EXPECT_EQ(file.variants[0].rim_masses.size(), 1u);
  for (const char *part :
       {"value \"wide\"", "20 .. 5000 mm", "value \"oak\"", "value \"400\"", "LENGTH, WIDTH, THICKNESS, KG",
        "at least 5 mm of wood", "value \"heavy\"", "lies outside the", "20 .. 20000 Hz"})
    EXPECT_NE(folder.prompts.find(part), std::string::npos) << part << "\n" << folder.prompts;
}

TEST(Start, EndOfAnswersWritesNothing) {
  for (const char *answers : {"", "\n210\n", "\n210\n250\n330\n\n18\n\n\nw, baffle, round, 105, 105, 116\n"}) {
    StartFolder folder;
    EXPECT_NE(refused(folder, answers).find("nothing was written"), std::string::npos);
  }
}

TEST(Start, WrongOptionsAreRefusedWithWhatIsAllowed) {
  const auto with = [](auto change) {
    StartFolder folder;
    set_sizes(folder.options);
    change(folder.options);
    return refused(folder);
  };
  const auto expect = [](const std::string &message, const std::vector<std::string> &parts) {
    EXPECT_EQ(message.find('\n'), std::string::npos);
    for (const std::string &part : parts) EXPECT_NE(message.find(part), std::string::npos) << part << "\n" << message;
  };
  expect(with([](StartOptions &o) { o.width = "8,25 in"; }), {"--width", "8,25 in", "20 .. 5000 mm", "33 cm"});
  expect(with([](StartOptions &o) { o.width = "nan"; }), {"--width", "nan"});
  expect(with([](StartOptions &o) { o.height = "20"; }), {"leave no room", "use thinner boards"});
  expect(with([](StartOptions &o) { o.material = "mfd"; }), {"--material", "did you mean \"mdf\"?"});
  expect(with([](StartOptions &o) { o.weighed = "300, 200, 15.7, 617"; }),
         {"--weighed", "654989 kg/m3", "check the mass"});
  expect(with([](StartOptions &o) { o.cut_outs = {"w, bafle, round, 1, 2, 3"}; }),
         {"--cut-out", "did you mean \"baffle\"?"});
  expect(with([](StartOptions &o) { o.cut_outs = {"w, baffle, round, 100, 100"}; }), {"--cut-out", "DIAMETER"});
  expect(with([](StartOptions &o) { o.cut_outs = {"w, baffle, round, 100, 100, 500"}; }),
         {"--cut-out", "at least 5 mm of wood"});
  expect(with([](StartOptions &o) { o.drivers = {"w, 1"}; }), {"--driver", "w"});
  expect(with([](StartOptions &o) { o.braces = {" "}; }), {"--brace", "leave it out"});
  expect(with([](StartOptions &o) { o.drivers = {"w"}; }), {"--driver", "CUT-OUT, KG"});
  expect(with([](StartOptions &o) { o.braces = {"b, shelv, height, 100"}; }), {"--brace", "did you mean \"shelf\"?"});
  expect(with([](StartOptions &o) { o.braces = {"b, rib, left, width, 100, 20"}; }),
         {"--brace", "a rib runs along its wall"});
  expect(with([](StartOptions &o) { o.up_to = "30000"; }), {"--up-to", "20 .. 20000 Hz"});
  expect(with([](StartOptions &o) { o.path = o.path + "/no/such.toml"; }), {"no such folder"});
}

TEST(Start, TeardownTakesNothingButAName) {
  StartFolder folder;
  folder.options.teardown = true;
  folder.options.width = "200";
  EXPECT_NE(refused(folder).find("--teardown"), std::string::npos);
}

TEST(Start, CommandLineThenCheck) {
  const CaseText place("");
  const std::string path = (place.folder / "desk.toml").string();
  const std::string start = STILLBOX_BINARY " start " + path;
  EXPECT_EQ(ran(start + " --width 210 </dev/null 2>&1").code, 2);
  EXPECT_FALSE(std::filesystem::exists(path));
  const std::string sizes = " --width 210 --depth 250 --height 330 --thickness '1/2 in'";
  const std::string parts = " --cut-out 'woofer, baffle, round, 105, 105, 116' --driver 'woofer, 1.1, rigid basket'";
  const Ran wrong = ran(start + sizes + parts + " --driver 'tweeter, 0.4' 2>&1");
  EXPECT_EQ(wrong.code, 2);
  EXPECT_NE(wrong.out.find("there is no cut-out of this name"), std::string::npos) << wrong.out;
  EXPECT_EQ(ran(start + sizes + parts).code, 0);
  const Ran check = ran(STILLBOX_BINARY " check " + path);
  EXPECT_EQ(check.code, 0);
  EXPECT_NE(check.out.find("woofer round 116 mm"), std::string::npos) << check.out;
  EXPECT_NE(check.out.find("12.7"), std::string::npos) << check.out;  // 1/2 in
  EXPECT_EQ(ran(start + sizes + " 2>&1").code, 2);                    // there already
}

TEST(Start, AFileIsNotOverwrittenUnasked) {
  StartFolder folder;
  set_sizes(folder.options);
  folder.run();
  const std::string before = folder.text();
  folder.options.width = "300";
  EXPECT_THROW(folder.run(), CaseError);
  EXPECT_EQ(folder.text(), before);
  folder.options.overwrite = true;
  folder.run();
  EXPECT_NE(folder.text(), before);
}

std::string filled(std::string text, const std::vector<std::string> &values) {
  std::size_t at = text.find("name = ");  // the head speaks of "?" too
  for (const std::string &value : values) {
    at = text.find("\"?\"", at);
    EXPECT_NE(at, std::string::npos);
    if (at == std::string::npos) return text;
    text.replace(at, 3, value);
  }
  EXPECT_EQ(text.find("\"?\"", at), std::string::npos);
  return text;
}

TEST(Start, TeardownSheetWeighsAsTheParts) {
  StartFolder folder;
  folder.options.teardown = true;
  folder.run();
  const std::string sheet = folder.text();
  EXPECT_THROW(folder.read(), CaseError);  // still open, never a cabinet of invented figures
  // A box of 200 x 300 x 400 mm whose baffle (18 mm, run through) weighed 0.9 kg with its two holes, the back 1.1 kg.
  const std::string text =
      filled(sheet, {"200",       "300", "400", "16",  "18",  "16",  // sizes and thicknesses
                     "\"30 cm\"", "200", "16",  "0.7",               // wall board
                     "400",       "200", "18",  "0.9", "140", "70",  "400", "200", "16", "1.1", "60",  // baffle, back
                     "100",       "120", "140", "100", "330", "70",  "100", "80",  "60",               // cut-outs
                     "1.5",       "0.4", "250", "16",  "100", "150", "0.3"});  // drivers, brace, crossover
  const CaseText file(text);
  const Structure s = file.read().variants[0];
  const Volumes volumes = volumes_of(s);
  EXPECT_NEAR(volumes.board_mass[0], 0.9, 1e-9);  // what the scale said comes back: the pieces are the boards
  EXPECT_NEAR(volumes.board_mass[1], 1.1, 1e-9);
  EXPECT_NEAR(s.rim_masses[0].mass + s.rim_masses[1].mass, 1.9, 1e-12);
}

}  // namespace
}  // namespace stillbox
