// SPDX-License-Identifier: MIT
// The drawings, read by dxflib (Debian's libdxflib), which knows nothing of the writer.
#include <dxflib/dl_creationadapter.h>
#include <dxflib/dl_dxf.h>

#include <cmath>
#include <map>

#include "postprocess/board_drawing.h"
#include "postprocess/cut_command.h"
#include "postprocess/dxf_file.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

struct DxfReader : DL_CreationAdapter {
  struct Circle {
    double x, y, radius;
  };
  struct Arc {
    double x, y, radius, from, to;
  };
  std::map<std::string, std::vector<DL_LineData>> lines;
  std::map<std::string, std::vector<Circle>> circles;
  std::map<std::string, std::vector<Arc>> arcs;
  std::vector<std::string> texts, layers, comments;
  std::string release;

  void addLine(const DL_LineData &line) override { lines[attributes.getLayer()].push_back(line); }
  void addCircle(const DL_CircleData &c) override { circles[attributes.getLayer()].push_back({c.cx, c.cy, c.radius}); }
  void addArc(const DL_ArcData &a) override {
    arcs[attributes.getLayer()].push_back({a.cx, a.cy, a.radius, a.angle1, a.angle2});
  }
  void addText(const DL_TextData &text) override { texts.push_back(text.text); }
  void addLayer(const DL_LayerData &layer) override { layers.push_back(layer.name); }
  void addComment(const std::string &comment) override { comments.push_back(comment); }
  void setVariableString(const std::string &name, const std::string &value, int) override {
    if (name == "$ACADVER") release = value;
  }

  explicit DxfReader(const std::string &path) {
    DL_Dxf dxf;
    EXPECT_TRUE(dxf.in(path, this)) << path;
  }

  /// Area within lines that follow each other and close, mm2; 0 when they do not.
  double area(const std::string &layer) const {
    const auto found = lines.find(layer);
    if (found == lines.end()) return 0;
    const auto &ring = found->second;
    double twice = 0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
      const DL_LineData &line = ring[i], &next = ring[(i + 1) % ring.size()];
      if (std::hypot(line.x2 - next.x1, line.y2 - next.y1) > 1e-6) return 0;
      twice += line.x1 * line.y2 - line.x2 * line.y1;
    }
    return std::abs(twice) / 2;
  }
};

/// Every board of a case, drawn and read.
struct DrawnCase {
  CaseText text;
  std::string out;
  explicit DrawnCase(const std::string &words) : text(words), out((text.folder / "out").string()) {
    CutOptions options;
    options.out = out;
    run_cut(text.read(), options);
  }
  DxfReader board(const std::string &name) const { return DxfReader(out + "/base-" + name + ".dxf"); }
};

TEST(Dxf, OutlineAndCutOutsAreThoseOfTheBoard) {
  const DrawnCase drawn(box +
                        "[[cut_out]]\nname = \"woofer\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 120]\n"
                        "diameter = 116\n[[cut_out]]\nname = \"cup\"\non = \"back\"\nshape = \"rectangle\"\n"
                        "centre = [100, 80]\nsize = [90, 60]\n[[cut_out]]\nname = \"vent\"\non = \"back\"\n"
                        "shape = \"slot\"\ncentre = [100, 250]\nsize = [100, 30]\n");
  const DxfReader baffle = drawn.board("baffle");
  EXPECT_EQ(baffle.release, "AC1009");  // release 12
  EXPECT_NEAR(baffle.area("OUTLINE"), 200 * 400, 1e-6);
  ASSERT_EQ(baffle.circles.at("CUT_OUTS").size(), 1u);
  const auto &woofer = baffle.circles.at("CUT_OUTS")[0];
  EXPECT_NEAR(woofer.x, 100, 1e-6);
  EXPECT_NEAR(woofer.y, 120, 1e-6);
  EXPECT_NEAR(woofer.radius, 58, 1e-6);
  bool has_unit = false;
  for (const std::string &text : baffle.texts) has_unit = has_unit || text.find("unit mm") != std::string::npos;
  EXPECT_TRUE(has_unit);
  ASSERT_FALSE(baffle.comments.empty());
  EXPECT_NE(baffle.comments[0].find("1 mm"), std::string::npos);

  const DxfReader back = drawn.board("back");
  EXPECT_EQ(back.lines.at("CUT_OUTS").size(), 4u + 2u);  // the cup, the straight sides of the slot
  const auto &ends = back.arcs.at("CUT_OUTS");
  ASSERT_EQ(ends.size(), 2u);
  // The slot: half circles of 15 mm about 100 +- 35, open towards the middle. A point on each, half-way round:
  for (const auto &arc : ends) {
    EXPECT_NEAR(arc.radius, 15, 1e-6);
    EXPECT_NEAR(std::fmod(arc.to - arc.from + 360, 360), 180, 1e-6);
    const double middle = (arc.from + std::fmod(arc.to - arc.from + 360, 360) / 2) * M_PI / 180;
    const double reach = arc.x + arc.radius * std::cos(middle);
    EXPECT_NEAR(std::abs(reach - 100), 50, 1e-6);  // the ends of the 100 mm
    EXPECT_NEAR(arc.y, 250, 1e-6);
  }
}

TEST(Dxf, CutOutsAreMeasuredFromTheBoardsOwnCorner) {
  // The left wall begins 18 mm behind the front; seen from outside its left is the back. A hole 100 mm from the
  // cabinet's rear edge is 82 mm from the wall's own edge.
  const DrawnCase drawn(
      box + "[[cut_out]]\nname = \"hole\"\non = \"left\"\nshape = \"round\"\ncentre = [100, 150]\ndiameter = 50\n");
  const DxfReader left = drawn.board("left");
  EXPECT_NEAR(left.area("OUTLINE"), 264 * 400, 1e-6);
  EXPECT_NEAR(left.circles.at("CUT_OUTS")[0].x, 82, 1e-6);
  EXPECT_NEAR(left.circles.at("CUT_OUTS")[0].y, 150, 1e-6);
}

TEST(Dxf, JointsAndBracesLieOnLayersOfTheirOwn) {
  const DrawnCase drawn(box +
                        "[[cabinet.joint]]\nedge = [\"left\", \"back\"]\nkind = \"rebate\"\nthrough = \"left\"\n"
                        "rebate_depth = 9\n[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"mitre\"\n"
                        "[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 100\n");
  const DxfReader left = drawn.board("left");
  EXPECT_NEAR(left.area("REBATES"), 18 * 400, 1e-6);
  bool says_depth = false;
  for (const std::string &text : left.texts) says_depth = says_depth || text == "9 mm deep from the inner face";
  EXPECT_TRUE(says_depth);
  ASSERT_EQ(left.lines.at("MITRES").size(), 1u);
  EXPECT_NEAR(left.lines.at("MITRES")[0].y1, 400 - 18, 1e-6);
  // The shelf: 264 x 18 mm on the wall, its middle at 18 + 100 mm.
  EXPECT_NEAR(left.area("BRACES"), 264 * 18, 1e-6);
  double low = 1e9, high = -1e9;
  for (const DL_LineData &line : left.lines.at("BRACES")) {
    low = std::min(low, line.y1);
    high = std::max(high, line.y1);
  }
  EXPECT_NEAR((low + high) / 2, 118, 1e-6);
  for (const char *layer : {"OUTLINE", "CUT_OUTS", "NOTCHES", "REBATES", "MITRES", "BRACES", "NOTES"})
    EXPECT_EQ(std::count(left.layers.begin(), left.layers.end(), layer), 1) << layer;
}

TEST(Dxf, GrainIsSaidInTheAxesOfTheDrawing) {
  const DrawnCase drawn(
      "name = \"t\"\nup_to_hz = 1000\n[cabinet]\nouter_size = { width = 200, depth = 300, height = 400 }\n"
      "board = { material = \"birch-plywood-18mm\", thickness = 18 }\n[cabinet.wall.left]\ngrain = \"depth\"\n"
      "[cabinet.wall.top]\nmaterial = \"mdf\"\n");
  const auto says = [&](const char *board, const char *note) {
    const DxfReader drawing = drawn.board(board);
    return std::count(drawing.texts.begin(), drawing.texts.end(), note) == 1;
  };
  EXPECT_TRUE(says("back", "Grain along y"));  // the longer side, up
  EXPECT_TRUE(says("left", "Grain along x"));  // depth lies across, as seen from outside
  EXPECT_TRUE(says("top", "Grain: any way"));
}

TEST(Dxf, DiscsAndNamesBeyondAscii) {
  const DrawnCase drawn(
      "name = \"t\"\nup_to_hz = 1000\n[[board]]\nname = \"Böden\"\ndiameter = 200\nmaterial = \"mdf\"\nthickness = "
      "18\n");
  int drawings = 0;
  for (const auto &entry : std::filesystem::directory_iterator(drawn.out)) {
    if (entry.path().extension() != ".dxf") continue;
    const DxfReader disc(entry.path().string());
    ++drawings;
    ASSERT_EQ(disc.circles.at("OUTLINE").size(), 1u);
    EXPECT_NEAR(disc.circles.at("OUTLINE")[0].radius, 100, 1e-6);
    EXPECT_NEAR(disc.circles.at("OUTLINE")[0].x, 100, 1e-6);  // its low corner at 0, 0
    for (const std::string &text : disc.texts)
      for (const unsigned char c : text) EXPECT_TRUE(c >= 32 && c < 127) << text;
  }
  EXPECT_EQ(drawings, 1);
}

// The right side of a truncated wedge: both faces are (200 - 12) / cos a long, one t tan a further back than the other.
// The blank reaches to both long points, the short points lie within it. Coordinates are written to a tenth of a um.
TEST(Dxf, BevelledBoardOfAShape) {
  const CaseText text(
      "name = \"trial wedge\"\nup_to_hz = 400\n[shape]\nfootprint = [[0, 0], [200, 0], [150, 200], [50, 200]]\nwalls = "
      "[\"baffle\", \"right\", \"back\", \"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 12 }\n");
  CutOptions options;
  options.out = (text.folder / "cut").string();
  run_cut(text.read(), options);
  const DxfReader drawing(options.out + "/base-right.dxf");
  const double a = std::atan(0.25);
  EXPECT_NEAR(drawing.area("OUTLINE"), 300 * (188 / std::cos(a) + 12 * std::tan(a)), 0.02);
  ASSERT_EQ(drawing.lines.at("MITRES").size(), 2u);
  for (const DL_LineData &line : drawing.lines.at("MITRES")) EXPECT_NEAR(std::abs(line.y2 - line.y1), 300, 1e-6);
  EXPECT_NEAR(DxfReader(options.out + "/base-top.dxf").area("OUTLINE"),
              176 * (200 - 24 * std::tan(a) - 24 / std::cos(a) - 176 * std::tan(a)), 0.02);
}

}  // namespace
}  // namespace stillbox
