// SPDX-License-Identifier: MIT
// The command `sheet` from a case file to its table, map and CSV, and what it refuses. The design is invented.
#include "postprocess/sheet_value_report.h"

#include <vtkNew.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLDataParser.h>

#include <sstream>

#include "postprocess/commands.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

const std::string small_box = R"(name = "trial"
up_to_hz = 700
[material.mat]
kind = "isotropic"
youngs_modulus_gpa = 0.4
poissons_ratio = 0.4
density_kg_m3 = 1500
loss_factor = 0.25
[cabinet]
outer_size = { width = 200, depth = 300, height = 400 }
board = { material = "mdf", thickness = 18 }
[cabinet.wall.left]
thickness = 12
[[cut_out]]
name = "woofer"
on = "baffle"
shape = "round"
centre = [100, 120]
diameter = 130
[[brace]]
name = "shelf, \"odd\" & narrow"
kind = "rib"
on = "right"
along = "depth"
at = 250
stand_off = 50
material = "mdf"
thickness = 18
)";

RunOptions quick(const std::string &out = "") { return quick_run(700, out); }

SheetOptions bitumen() {
  SheetOptions sheet;
  sheet.materials_path = built_in_materials;
  return sheet;
}

TEST(SheetReport, TellsTheSameTwice) {
  const CaseText text(small_box);
  const CaseFile file = text.read();
  const std::string first = (text.folder / "first").string(), second = (text.folder / "second").string();
  const std::string table = run_sheet(file, quick(first), bitumen());
  std::string again = run_sheet(file, quick(second), bitumen());
  EXPECT_EQ(table.substr(0, table.rfind("Files are in")), again.substr(0, again.rfind("Files are in")));
  int files = 0;
  for (const auto &entry : std::filesystem::directory_iterator(first)) {
    EXPECT_EQ(bytes_in(entry.path()), bytes_in(std::filesystem::path(second) / entry.path().filename()));
    ++files;
  }
  EXPECT_EQ(files, 2);

  std::istringstream lines(table.substr(0, table.rfind("Files are in")));
  for (std::string line; std::getline(lines, line);) EXPECT_LE(display_width(line), table_width) << line;
  for (const char *part : {"left", "baffle", "[across, up]", "prediction", "Constrained layers", "bitumen-sheet"})
    EXPECT_NE(table.find(part), std::string::npos) << part;

  const std::string svg = bytes_in(std::filesystem::path(first) / "base-sheet.svg");
  vtkNew<vtkXMLDataParser> parser;
  std::istringstream stream(svg);
  parser->SetStream(&stream);
  EXPECT_TRUE(parser->Parse());
  for (const char *part : {"class=\"champion\"", "class=\"best\"", "class=\"band\"", "baffle, inner", "&amp; narrow"})
    EXPECT_NE(svg.find(part), std::string::npos) << part;

  std::istringstream csv(bytes_in(std::filesystem::path(first) / "sheet.csv"));
  std::string line;
  int rows = 0;
  for (; std::getline(csv, line); ++rows)
    if (line.find('"') == std::string::npos) {
      EXPECT_EQ(std::count(line.begin(), line.end(), ','), 25) << line;
    }
  EXPECT_GT(rows, 8 * 2);  // eight faces, the mean and at least one mode each
}

TEST(SheetReport, TakesOneModeOrABand) {
  const CaseText text(small_box);
  const CaseFile file = text.read();
  SheetOptions sheet = bitumen();
  sheet.mode = 2;
  EXPECT_NE(run_sheet(file, quick(), sheet).find("mode 2, "), std::string::npos);
  sheet.mode = 0;
  sheet.from = 350;
  sheet.to = 650;
  EXPECT_NE(run_sheet(file, quick(), sheet).find("modes "), std::string::npos);
}

TEST(SheetReport, FindsMaterialsThatNoBoardUses) {
  const CaseText text(small_box);
  SheetOptions sheet = bitumen();
  sheet.material = "mat";
  sheet.mode = 1;
  EXPECT_NE(run_sheet(text.read(), quick(), sheet).find("3 mm of mat"), std::string::npos);
}

TEST(SheetReport, RefusesWithOneMessageAndWritesNothing) {
  const CaseText text(small_box);
  const CaseFile file = text.read();
  const std::string out = (text.folder / "not" / "there").string();
  const auto message = [&](const std::function<void(SheetOptions &, RunOptions &)> &change) {
    SheetOptions sheet = bitumen();
    RunOptions options = quick(out);
    change(sheet, options);
    try {
      run_sheet(file, options, sheet);
    } catch (const CaseError &error) {
      return std::string(error.what());
    }
    return std::string("accepted");
  };
  const auto expect = [&](const std::string &got, const std::string &part) {
    EXPECT_NE(got.find(part), std::string::npos) << got;
    EXPECT_EQ(std::count(got.begin(), got.end(), '\n'), 0) << got;
    EXPECT_FALSE(std::filesystem::exists(text.folder / "not"));
  };
  expect(message([](SheetOptions &s, RunOptions &) { s.material = "bitumen-shet"; }), "did you mean \"bitumen-sheet\"");
  expect(message([](SheetOptions &s, RunOptions &) { s.thickness = 0; }), "--thickness 0");
  expect(message([](SheetOptions &s, RunOptions &) { s.thickness = -0.001; }), "--thickness -1");
  expect(message([](SheetOptions &s, RunOptions &) { s.thickness = std::nan(""); }), "--thickness nan");
  expect(message([](SheetOptions &s, RunOptions &) { s.thickness = 0.0121; }), "up to 12 mm");  // the thinnest board
  expect(message([](SheetOptions &s, RunOptions &) { s.from = s.to = 400; }), "--from 400 Hz");
  expect(message([](SheetOptions &s, RunOptions &) { s.from = 900; }), "top frequency");
  expect(message([](SheetOptions &s, RunOptions &) { s.to = 900; }), "--up-to");
  expect(message([](SheetOptions &s, RunOptions &) { s.mode = 500; }), "--mode 500");
  expect(message([](SheetOptions &s, RunOptions &) { s.to = 50; }), "no mode between");
  expect(message([](SheetOptions &, RunOptions &o) { o.variants = {"none"}; }), "there is no such variant");
}

}  // namespace
}  // namespace stillbox
