// SPDX-License-Identifier: MIT
// Shapes and STEP solids through the commands: what works, what is refused, what is written.
#include <gtest/gtest.h>
#include <vtkCell.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <nlohmann/json.hpp>

#include "mesh/solids.h"
#include "mesh/step_file.h"
#include "postprocess/commands.h"
#include "postprocess/match_command.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/ran.h"

namespace stillbox {
namespace {

const std::string tube_case =
    "name = \"trial tube\"\nup_to_hz = 400\n[shape]\nboard = { material = \"mdf\", thickness = 12 }\ntube = { diameter "
    "= "
    "160, length = 200 }\n[[brace]]\nname = \"divider\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 60\n";

Ran stillbox(const std::string &words) { return ran(std::string(STILLBOX_BINARY) + " " + words + " 2>&1"); }

TEST(SolidsCommands, OthersAreRefusedWithOneLine) {
  const CaseText text(tube_case);
  const CaseFile file = text.read();
  const auto refused = [&](const char *command, const std::function<void()> &run) {
    try {
      run();
      ADD_FAILURE() << command << " was accepted";
    } catch (const CaseError &error) {
      const std::string what = error.what();
      EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
      EXPECT_EQ(what.rfind(text.path + ": ", 0), 0u) << what;
      EXPECT_NE(what.find(command), std::string::npos) << what;
    }
  };
  const RunOptions options;
  refused("sheet", [&] { run_sheet(file, options, {}); });
  refused("air", [&] { run_air(file, options); });
  RunOptions sixth;
  sixth.degree = 6;
  refused("2 .. 5", [&] { run_modes(file, sixth); });
  RunOptions low;
  low.up_to = 400;
  refused("2 chambers", [&] { run_drive(file, low, {}); });
  refused("2 .. 5", [&] { run_knock(file, sixth, {}); });
  refused("2 .. 5", [&] { run_match(file, sixth, {}); });
  EXPECT_EQ(stillbox("place " + in_quotes(text.path)).code, 2);
}

TEST(SolidsCommands, CheckTellsBothChambers) {
  const CaseText text(tube_case);
  const Ran r = stillbox("check " + in_quotes(text.path));
  EXPECT_EQ(r.code, 0);
  // pi 0.068^2 x (176 - 66) mm and x 54 mm, in litres.
  EXPECT_NE(r.out.find("2 chambers of 1.60 and 0.78 litres"), std::string::npos) << r.out;
  RunOptions json;
  json.json = true;
  EXPECT_NE(run_check(text.read(), json).find("\"chambers_l\""), std::string::npos);
}

TEST(SolidsCommands, ModesAndMeshWriteTheirFiles) {
  const CaseText text(tube_case);
  const std::string out = (text.folder / "out").string(), again = (text.folder / "again").string();
  const Ran modes = stillbox("modes --degree 2 --out " + out + " " + in_quotes(text.path));
  ASSERT_EQ(modes.code, 0) << modes.out;
  for (const char *name : {"modes.json", "modes.csv", "base.vtu", "base.svg"})
    EXPECT_TRUE(std::filesystem::exists(std::filesystem::path(out) / name)) << name;
  EXPECT_NE(bytes_in(out + "/base.svg").find("tube"), std::string::npos);
  ASSERT_EQ(stillbox("mesh --degree 3 --out " + out + " " + in_quotes(text.path)).code, 0);
  ASSERT_EQ(stillbox("mesh --degree 3 --out " + again + " " + in_quotes(text.path)).code, 0);
  EXPECT_EQ(bytes_in(out + "/base.step"), bytes_in(again + "/base.step"));  // the same case, the same bytes
  const StepShapes shapes = load_step_shapes(out + "/base.step");
  ASSERT_EQ(shapes.size(), 4u);
  EXPECT_EQ(shapes.facts(0).name, "tube");
  EXPECT_EQ(shapes.facts(3).layer, "mdf");

  // Inside a cell VTK finds the place that the corners' lines give, where the cell is straight.
  for (const char *name : {"base.vtu", "base-mesh.vtu"}) {
    vtkNew<vtkXMLUnstructuredGridReader> reader;
    reader->SetFileName((out + "/" + name).c_str());
    reader->Update();
    vtkUnstructuredGrid *grid = reader->GetOutput();
    int straight = 0;
    double largest = 0;
    for (vtkIdType c = 0; c < grid->GetNumberOfCells(); ++c) {
      vtkCell *cell = grid->GetCell(c);
      double corner[4][3];
      for (int k = 0; k < 4; ++k) cell->GetPoints()->GetPoint(k, corner[k]);
      double xi[3] = {0.2, 0.3, 0.1}, x[3], weights[64];
      int sub = 0;
      cell->EvaluateLocation(sub, xi, x, weights);
      double off = 0, size = 0;
      for (int k = 0; k < 3; ++k) {
        off = std::max(
            off, std::abs(0.4 * corner[0][k] + 0.2 * corner[1][k] + 0.3 * corner[2][k] + 0.1 * corner[3][k] - x[k]));
        size = std::max(size, std::abs(corner[1][k] - corner[0][k]));
      }
      straight += off < 1e-9;
      largest = std::max(largest, off / size);
    }
    EXPECT_GT(straight, grid->GetNumberOfCells() / 4) << name;
    EXPECT_LT(largest, 0.2) << name;  // curved ones stay near; a wrong order is off by the cell's size
  }
}

// The tube's wall, laid flat, and both its ends; the divider inside is no place for a knuckle.
TEST(SolidsCommands, KnockWritesItsFiles) {
  const CaseText text(tube_case);
  const std::string out = (text.folder / "knocked").string();
  const Ran knock = stillbox("knock --degree 2 --fineness 0.5 --points 20 --out " + out + " " + in_quotes(text.path));
  ASSERT_EQ(knock.code, 0) << knock.out;
  for (const char *name : {"knock.json", "mobility.csv", "base-knock-map.svg"})
    EXPECT_TRUE(std::filesystem::exists(std::filesystem::path(out) / name)) << name;
  const std::string map = bytes_in(out + "/base-knock-map.svg");
  EXPECT_NE(map.find(">tube<"), std::string::npos);
  EXPECT_EQ(map.find("divider"), std::string::npos);
  const Ran beside = stillbox("knock --degree 2 --at \"divider, 20, 20\" " + in_quotes(text.path));
  EXPECT_EQ(beside.code, 2);
  EXPECT_NE(beside.out.find("allowed: tube, bottom, top"), std::string::npos) << beside.out;
}

// All moduli 10 % lower make all frequencies sqrt(0.9) of what they were (elasticity is linear in them): heard so,
// match finds 0.9.
TEST(SolidsCommands, MatchFindsTheModulus) {
  const CaseText text(
      "name = \"trial wedge\"\nup_to_hz = 800\n[shape]\nfootprint = [[0, 0], [160, 0], [130, 140], [30, 140]]\nwalls = "
      "[\"baffle\", \"right\", \"back\", \"left\"]\nheight = 220\nboard = { material = \"acrylic\", thickness = 8 }\n");
  RunOptions options;
  options.degree = 2;
  options.fineness = 0.5;
  options.up_to = 900;
  options.json = true;
  const auto modes = nlohmann::json::parse(run_modes(text.read(), options))["variants"][0]["modes"];
  ASSERT_GE(modes.size(), 2u);
  std::string heard = "frequency_hz\n";
  for (std::size_t m = 0; m < 2; ++m)
    heard += std::to_string(modes[m]["frequency_hz"].get<double>() * std::sqrt(0.9)) + "\n";
  const std::string path = (text.folder / "heard.csv").string();
  std::ofstream(path) << heard;
  MatchRequest request;
  request.heard_path = path;
  request.materials_path = built_in_materials;
  request.up_to = options.up_to;  // so that the mesh is the same
  const std::string found = run_match(text.read(), options, request);
  const auto json = nlohmann::json::parse(found);
  ASSERT_EQ(json["unknowns"].size(), 1u) << found;
  EXPECT_NEAR(json["unknowns"][0]["factor"].get<double>(), 0.9, 1e-4) << found;
}

// A shoe box by its footprint is told the same as the box by [cabinet]; a wedge gets figures of its own.
TEST(SolidsCommands, SheetOnAShape) {
  const std::string rest = "board = { material = \"acrylic\", thickness = 8 }\n",
                    brace =
                        "[[brace]]\nname = \"brace\"\nkind = \"window\"\nnormal = \"height\"\nat = "
                        "90\nopenings = { rim = 30 }\n",
                    head = "name = \"trial\"\nup_to_hz = 1800\n",
                    walls = "walls = [\"baffle\", \"right\", \"back\", \"left\"]\nheight = 220\n";
  const CaseText native(head +
                        "[cabinet]\nouter_size = { width = 160, depth = 140, height = 220 }\nrun_through = "
                        "[\"baffle\", \"right\", \"back\", \"left\", \"top\", \"bottom\"]\n" +
                        rest + brace),
      shaped(head + "[shape]\nfootprint = [[0, 0], [160, 0], [160, 140], [0, 140]]\n" + walls + rest + brace),
      wedge(head + "[shape]\nfootprint = [[0, 0], [160, 0], [130, 140], [30, 140]]\n" + walls + rest + brace);
  RunOptions options;
  options.degree = 2;
  options.fineness = 0.5;
  options.up_to = 1800;
  options.json = true;
  SheetOptions sheet;
  sheet.materials_path = built_in_materials;
  std::vector<nlohmann::json> variants;
  for (const CaseText *text : {&native, &shaped, &wedge})
    variants.push_back(nlohmann::json::parse(run_sheet(text->read(), options, sheet))["variants"][0]);
  const auto added = [](const nlohmann::json &variant, const std::string &board, const std::string &face) {
    for (const auto &f : variant["faces"])
      if (f["board"] == board && f["face"] == face)
        return std::pair(f["whole"]["added_loss"].get<double>(), f["whole"]["area_m2"].get<double>());
    ADD_FAILURE() << board << " " << face << "\n" << variant.dump().substr(0, 600);
    return std::pair(0.0, 0.0);
  };
  for (const auto &[board, face] : std::vector<std::pair<std::string, std::string>>{
           {"baffle", "inner"}, {"left", "inner"}, {"top", "inner"}, {"brace", "lower"}}) {
    const auto box = added(variants[0], board, face), shape = added(variants[1], board, face);
    EXPECT_NEAR(shape.second / box.second, 1, 0.02) << board;  // rasters differ at the edges
    EXPECT_NEAR(shape.first / box.first, 1, 0.04) << board;
  }
  // The wedge's back is narrower than its baffle: its clear faces by hand, to the raster's millimetre.
  const double lean = 30.0 / 140, side = 0.008 * std::hypot(1, lean);
  const double back = 0.160 - 2 * lean * 0.132 - 2 * side;
  EXPECT_NEAR(added(variants[2], "back", "inner").second, back * (0.204 - 0.008), 0.03 * back * 0.2);
}

TEST(SolidsCommands, ExamplesAreSound) {
  for (const char *name : {"tapered-monitor", "paper-tube", "two-chambers", "drawn-elsewhere"}) {
    const CaseFile file = read_case(std::string(STILLBOX_SOURCE_DIR "/cases/") + name + ".toml", built_in_materials);
    for (const Structure &s : file.variants) EXPECT_TRUE(s.solids) << name;
    EXPECT_NE(file.note.find("Invented"), std::string::npos);
  }
}

}  // namespace
}  // namespace stillbox
