// SPDX-License-Identifier: MIT
// Sizes after joints by hand, beside each check; masses against the scale of the case; the files.
#include <cmath>
#include <nlohmann/json.hpp>

#include "mesh/grid.h"
#include "postprocess/cut_command.h"
#include "postprocess/cut_report.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

const CutPart &cut_part_named(const CutList &list, const std::string &name, int layer = 0) {
  for (const CutPart &part : list.parts)
    if (part.board == name && part.layer == layer) return part;
  throw std::logic_error("no part " + name);
}

void expect_size(const CutList &list, const std::string &name, double length_mm, double width_mm) {
  const CutPart &part = cut_part_named(list, name);
  EXPECT_NEAR(1e3 * part.length, length_mm, 1e-6) << name;
  EXPECT_NEAR(1e3 * part.width, width_mm, 1e-6) << name;
}

CutList list_of(const std::string &text) { return cut_list(CaseText(text).read().variants[0]); }

TEST(Cut, ButtJointsByHand) {
  // 200 x 300 x 400 mm of 18 mm board; baffle and back run through, then left and right, then top and bottom.
  const CutList list = list_of(box);
  expect_size(list, "baffle", 400, 200);
  expect_size(list, "back", 400, 200);
  expect_size(list, "left", 400, 300 - 2 * 18);
  expect_size(list, "top", 300 - 2 * 18, 200 - 2 * 18);
  ASSERT_EQ(list.stock.size(), 1u);
  EXPECT_NEAR(list.stock[0].area, 2 * (0.4 * 0.2 + 0.4 * 0.264 + 0.264 * 0.164), 1e-12);
  EXPECT_EQ(list.stock[0].parts, 6);
  for (const CutWork &work : list.work) EXPECT_TRUE(work.cuts.empty() && work.mitres.empty());
}

TEST(Cut, RebateAndMitreByHand) {
  const CutList list = list_of(box +
                               "[[cabinet.joint]]\nedge = [\"left\", \"back\"]\nkind = \"rebate\"\nthrough = \"left\"\n"
                               "rebate_depth = 7\n[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"mitre\"\n"
                               "[cabinet.wall.top]\nthickness = 12\n");
  // The back reaches 7 mm into the left wall, which runs to the rear; so the back loses 18 - 7 = 11 mm.
  expect_size(list, "back", 400, 200 - 11);
  expect_size(list, "left", 400, 300 - 18);
  expect_size(list, "top", 264, 200 - 18);  // to the long point of the mitre on the left, butted on the right
  const CutWork &left = list.work[2];
  ASSERT_EQ(left.cuts.size(), 1u);
  EXPECT_EQ(left.cuts[0].kind, JointCut::Kind::rebate);
  EXPECT_NEAR(left.cuts[0].depth, 0.007, 1e-9);
  EXPECT_TRUE(left.cuts[0].on_low_face);  // the inner one
  EXPECT_NEAR((left.cuts[0].high - left.cuts[0].low).minCoeff(), 0.018, 1e-9);
  EXPECT_NEAR((left.cuts[0].high - left.cuts[0].low).maxCoeff(), 0.4, 1e-9);
  ASSERT_EQ(left.mitres.size(), 1u);
  ASSERT_EQ(list.work[4].mitres.size(), 1u);
  // Boards of 18 and 12 mm: the cut lies on the diagonal of 18 x 12, atan(12/18) = 33.69 and atan(18/12) = 56.31 deg.
  EXPECT_NEAR(left.mitres[0].angle * 180 / M_PI, 33.690, 1e-3);
  EXPECT_NEAR(list.work[4].mitres[0].angle * 180 / M_PI, 56.310, 1e-3);
  EXPECT_EQ(left.mitres[0].side, v_high);
  EXPECT_EQ(list.work[4].mitres[0].side, u_low);
}

TEST(Cut, MassesAddUpToTheCase) {
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", built_in_materials);
  for (const Structure &s : file.variants) {
    const CutList list = cut_list(s);
    double mass = 0, stock = 0;
    for (const CutPart &part : list.parts) mass += part.mass;
    for (const CutStock &kind : list.stock) stock += kind.mass;
    EXPECT_NEAR(mass + list.fittings, volumes_of(s).mass, 1e-9);
    EXPECT_NEAR(stock, mass, 1e-9);
    EXPECT_NEAR(list.fittings, 1.6 + 0.45, 1e-9);  // the two drivers of the file
  }
  // The sheet on the back lies between those on its four neighbours, all 3 mm: by hand
  // (380 - 2 x 18 - 2 x 3) x (220 - 2 x 18 - 2 x 3).
  expect_size(cut_list(file.variants.back()), "bitumen on back", 338, 178);
}

TEST(Cut, LayersAreCutFromTheirOwnStock) {
  const std::string text = R"(name = "t"
up_to_hz = 1000
[cabinet]
outer_size = { width = 200, depth = 300, height = 400 }
board = { material = "mdf", thickness = 18 }
[cabinet.wall.baffle]
layers = [{ material = "birch-plywood-12mm", thickness = 12 }, { material = "mdf", thickness = 18 }]
grain = "width"
)";
  const CutList list = list_of(text);
  ASSERT_EQ(list.stock.size(), 2u);
  // From the low face of a wall, the inner one: mdf first. Grain across: the length of the plywood is the box's width.
  EXPECT_EQ(cut_part_named(list, "baffle", 0).material, "mdf");
  const CutPart &ply = cut_part_named(list, "baffle", 1);
  EXPECT_EQ(ply.material, "birch-plywood-12mm");
  EXPECT_TRUE(ply.has_grain);
  EXPECT_NEAR(ply.length, 0.2, 1e-9);
  EXPECT_NEAR(ply.width, 0.4, 1e-9);
  // 0.2 x 0.4 x 0.012 m3 at the 680 kg/m3 of the list
  EXPECT_NEAR(ply.mass, 0.2 * 0.4 * 0.012 * 680, 1e-9);
}

TEST(Cut, CrossingsAreNotched) {
  const CutList list =
      list_of(box +
              "[[brace]]\nname = \"flat\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 200\n"
              "[[brace]]\nname = \"upright\"\nkind = \"shelf\"\nnormal = \"width\"\nat = 82\n"
              "[[brace]]\nname = \"bar\"\nkind = \"bar\"\nbetween = [\"left\", \"right\"]\nat = [60, 300]\n"
              "section = [20, 20]\n");
  // Two shelves are half-lapped: each is notched over half of the 264 mm they share, 18 mm wide.
  for (const int brace : {6, 7}) {
    ASSERT_EQ(list.work[brace].cuts.size(), 1u);
    const JointCut &cut = list.work[brace].cuts[0];
    EXPECT_EQ(cut.kind, JointCut::Kind::notch);
    EXPECT_NEAR((cut.high - cut.low).maxCoeff(), 0.132, 1e-9);
    EXPECT_NEAR((cut.high - cut.low).minCoeff(), 0.018, 1e-9);
  }
  ASSERT_EQ(list.work[8].cuts.size(), 1u);
  EXPECT_EQ(list.work[8].cuts[0].kind, JointCut::Kind::interrupted);
  EXPECT_EQ(list.work[8].cuts[0].with, "upright");
}

struct CutFolder {
  CaseText text{box +
                "[[cut_out]]\nname = \"woofer\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 120]\n"
                "diameter = 116\n[[variant]]\nname = \"22 mm\"\n"
                "replace = { cabinet = { board = { thickness = 22 } } }\n"};
  CutOptions options;
  CutFolder() { options.out = (text.folder / "out").string(); }
};

TEST(Cut, FilesSayTheSame) {
  CutFolder folder;
  const std::string text = run_cut(folder.text.read(), folder.options);
  for (const char *part :
       {"left, right", "woofer round 116", "400", "264", "Caution", "formaldehyde", "Local codes", "10-30 %"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  const auto json = nlohmann::json::parse(bytes_in(folder.options.out + "/cut.json"));
  EXPECT_EQ(json["schema"], "stillbox cut 1");
  ASSERT_EQ(json["variants"].size(), 2u);
  const std::string csv = bytes_in(folder.options.out + "/cut.csv");
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 13);
  double area = 0;
  int drawings = 0;
  for (const auto &part : json["variants"][1]["parts"]) area += part["area_m2"].get<double>();
  EXPECT_NEAR(area, json["variants"][1]["stock"][0]["area_m2"].get<double>(), 1e-12);
  for (const auto &entry : std::filesystem::directory_iterator(folder.options.out))
    drawings += entry.path().extension() == ".dxf";
  EXPECT_EQ(drawings, 12);
  EXPECT_TRUE(std::filesystem::exists(folder.options.out + "/22-mm-baffle.dxf"));
  folder.options.json = true;
  EXPECT_EQ(run_cut(folder.text.read(), folder.options), bytes_in(folder.options.out + "/cut.json"));
}

TEST(Cut, WrongWordsAreRefusedBeforeAnythingIsWritten) {
  CutFolder folder;
  const CaseFile file = folder.text.read();
  const auto refused = [&](CutOptions options) {
    options.out = folder.options.out;
    try {
      run_cut(file, options);
      ADD_FAILURE() << "was accepted";
    } catch (const CaseError &error) {
      EXPECT_FALSE(std::filesystem::exists(folder.options.out));
      return std::string(error.what());
    }
    return std::string();
  };
  CutOptions options;
  options.variants = {"23 mm"};
  EXPECT_NE(refused(options).find("there is no such variant"), std::string::npos);
  for (const char *size : {"2440", "2440 x 1220", "0, 1220", "2440, wide", "2440, 1220, 18", "99999, 1220"}) {
    options = {};
    options.stock_size = size;
    const std::string message = refused(options);
    EXPECT_NE(message.find("--stock-size"), std::string::npos) << message;
    EXPECT_NE(message.find("100 .. 10000 mm"), std::string::npos) << message;
  }
  options = {};
  options.stock_size = "380, 300";  // the walls are 400 long
  EXPECT_NE(run_cut(file, options).find("a part is larger"), std::string::npos);
}

}  // namespace
}  // namespace stillbox
