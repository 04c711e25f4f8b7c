// SPDX-License-Identifier: MIT
// Boards of cabinets that are no boxes, as they are cut: sizes and saw angles by hand, beside each check.
#include "postprocess/solid_cut.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "mesh/solids.h"
#include "postprocess/cut_command.h"
#include "postprocess/cut_list.h"
#include "postprocess/solids_rules.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

const double degree = M_PI / 180;

std::string wedge(const std::string &more) {
  return "name = \"trial wedge\"\nup_to_hz = 400\n[shape]\nfootprint = [[0, 0], [200, 0], [150, 200], [50, 200]]\n"
         "walls = [\"baffle\", \"right\", \"back\", \"left\"]\nheight = 300\n"
         "board = { material = \"mdf\", thickness = 12 }\n" +
         more;
}

const CutPart &part_named(const CutList &list, const std::string &name) {
  for (const CutPart &part : list.parts)
    if (part.board == name) return part;
  throw std::logic_error("no part " + name);
}

const EdgeCut &edge_with(const CutList &list, const std::string &board, const std::string &with) {
  for (const EdgeCut &edge : list.work[std::size_t(part_named(list, board).index)].solid->edges)
    if (edge.with == with) return edge;
  throw std::logic_error(board + " has no edge with " + with);
}

// A truncated wedge: the sides stand at a = atan(50 / 200) to the depth. The baffle runs through, then the right side,
// the back, the left side; top and bottom lie within.
TEST(SolidCut, TruncatedWedgeByHand) {
  const CaseFile file = CaseText(wedge("")).read();
  const CutList list = cut_list(file.variants[0]);
  const double a = std::atan(50.0 / 200), t = 12, across = t / std::cos(a), lean = t * std::tan(a);
  const auto expect_size = [&](const char *name, double length, double width) {
    EXPECT_NEAR(1e3 * part_named(list, name).length, length, 1e-6) << name;
    EXPECT_NEAR(1e3 * part_named(list, name).width, width, 1e-6) << name;
  };
  expect_size("baffle", 300, 200);  // its edges lie in the sides' outer faces: longer outside
  // From the baffle's inner face at 12 mm to the rear at 200 mm; each face is (200 - 12) / cos a long, the inner one
  // t tan a further back.
  expect_size("right", 300, (200 - 12) / std::cos(a) + lean);
  // At the rear from the left side's outer face to the right side's inner one; 12 mm further in both ends gain t tan a.
  expect_size("back", 300, 100 - across + 2 * lean);
  EXPECT_NEAR(edge_with(list, "right", "baffle").angle, a, 1e-9);
  EXPECT_TRUE(edge_with(list, "right", "baffle").outer_is_longer);
  EXPECT_NEAR(edge_with(list, "back", "right").angle, a, 1e-9);
  EXPECT_FALSE(edge_with(list, "back", "right").outer_is_longer);
  EXPECT_NEAR(edge_with(list, "left", "back").angle, a, 1e-9);
  EXPECT_EQ(edge_with(list, "top", "baffle").angle, 0);
  EXPECT_EQ(edge_with(list, "top", "left").angle, 0);
  // The baffle's own edges are free and tilted by a; of the six boards none is chamfered.
  int tilted = 0;
  for (const CutWork &work : list.work)
    for (const EdgeCut &edge : work.solid->edges) {
      tilted += edge.angle > 0;
      EXPECT_FALSE(edge.is_chamfer);
      EXPECT_NEAR(edge.depth, 0.012, 1e-9);
    }
  EXPECT_EQ(tilted, 2 + 2 + 2 + 2);
  // Top: a trapezoid between the inner faces, 12 mm from the front and from the rear.
  const CutWork &top = list.work[std::size_t(part_named(list, "top").index)];
  const double front = 200 - 2 * 12 * std::tan(a) - 2 * across, depth = 200 - 24;
  expect_size("top", std::max(front, depth), std::min(front, depth));
  EXPECT_EQ(top.solid->outline.size(), 4u);
  EXPECT_TRUE(top.solid->other_edges.empty());
  // A sheet weighs what is left of it: volume of the trapezoid by its mean width.
  const double rear = front - 2 * depth * std::tan(a);
  EXPECT_NEAR(part_named(list, "top").mass / file.variants[0].materials[0].density,
              (front + rear) / 2 * depth * 12 * 1e-9, 1e-12);
}

// The baffle leans by 10 degrees between planes 300 mm apart: each face is 300 / cos 10 high, one t tan 10 further up
// than the other; as the outer face looks up it is longer at the lower edge, the inner one at the upper edge. One
// upright edge has a chamfer.
TEST(SolidCut, LeaningBaffleAndChamfer) {
  const CutList list = cut_list(CaseText(wedge("[shape.wall.baffle]\nthickness = 20\nslope_deg = 10\n"
                                               "[[shape.chamfer]]\nedge = [\"baffle\", \"left\"]\nsize = 6\n"))
                                    .read()
                                    .variants[0]);
  const CutPart &baffle = part_named(list, "baffle");
  EXPECT_NEAR(1e3 * baffle.length, 300 / std::cos(10 * degree) + 20 * std::tan(10 * degree), 1e-6);
  const auto &edges = list.work[std::size_t(baffle.index)].solid->edges;
  int ends = 0, chamfers = 0;
  for (const EdgeCut &edge : edges) {
    if (std::abs(edge.angle - 10 * degree) < 1e-9) {
      ++ends;
      EXPECT_EQ(edge.outer_is_longer, edge.line.middle.y() < 0.15);
    }
    if (!edge.is_chamfer) continue;
    ++chamfers;
    // As long on either wall it halves the angle between them, from outside.
    const Eigen::Vector3d front(0, -std::cos(10 * degree), std::sin(10 * degree)),
        left = Eigen::Vector3d(-200, 50, 0).normalized();
    const double between = std::acos(front.dot(left));
    EXPECT_NEAR(edge.angle, M_PI / 2 - between / 2, 1e-6);
    EXPECT_LT(edge.depth, 0.0061);
  }
  EXPECT_EQ(ends, 2);
  EXPECT_EQ(chamfers, 1);
  EXPECT_NEAR(edge_with(list, "top", "baffle").angle, 10 * degree, 1e-9);
  EXPECT_FALSE(edge_with(list, "top", "baffle").outer_is_longer);
}

// An arc of radius R over a chord c is 2 R asin(c / 2R) long; a tube's wall 2 pi R outside and 2 pi (R - t) inside.
TEST(SolidCut, BentBoardsAreLaidFlat) {
  const CutList tube =
      cut_list(CaseText("name = \"trial tube\"\nup_to_hz = 400\n[shape]\nboard = { material = \"mdf\", "
                        "thickness = 12 }\ntube = { diameter = 160, length = 200 }\n")
                   .read()
                   .variants[0]);
  const SolidCut::Bent &round = *tube.work[0].solid->bent;
  EXPECT_TRUE(round.is_tube);
  EXPECT_NEAR(round.outer, 2 * M_PI * 0.08, 1e-9);
  EXPECT_NEAR(round.inner, 2 * M_PI * 0.068, 1e-9);
  EXPECT_NEAR(part_named(tube, "top").length, 2 * 0.068, 1e-5);  // a disc's extent from points along its rim
  EXPECT_NEAR(part_named(tube, "tube").length, 2 * M_PI * 0.08, 1e-9);
  const CutList bent =
      cut_list(CaseText(wedge("corners = \"mitre\"\n[shape.wall.right]\nradius = 400\n")).read().variants[0]);
  const double chord = std::hypot(50, 200) * 1e-3;
  EXPECT_NEAR(bent.work[1].solid->bent->outer, 2 * 0.4 * std::asin(chord / 0.8), 1e-9);
  EXPECT_LT(bent.work[1].solid->bent->inner, bent.work[1].solid->bent->outer);
  ASSERT_EQ(bent.work[1].solid->edges.size(), 2u);
  // At a mitre both boards are cut to one plane: their tilts add up to the turn of the walls there.
  const double turn = std::atan2(200, -50) - std::asin(chord / 0.8);
  EXPECT_NEAR(edge_with(bent, "right", "baffle").angle + edge_with(bent, "baffle", "right").angle, turn, 0.02);
}

TEST(SolidCut, FilesAndWhatIsRefused) {
  const CaseText text(
      wedge("[[brace]]\nname = \"shelf\"\nkind = \"window\"\nnormal = \"height\"\nat = 100\nopenings = { "
            "rim = 30 }\n"));
  CutOptions options;
  options.out = (text.folder / "cut").string();
  options.json = true;
  const auto json = nlohmann::json::parse(run_cut(text.read(), options));
  const auto &parts = json["variants"][0]["parts"];
  ASSERT_EQ(parts.size(), 7u);
  EXPECT_EQ(parts[1]["edges"].size(), 4u);
  EXPECT_NEAR(parts[0]["edges"][0]["saw_deg"].get<double>() + parts[0]["edges"][1]["saw_deg"].get<double>() +
                  parts[0]["edges"][2]["saw_deg"].get<double>() + parts[0]["edges"][3]["saw_deg"].get<double>(),
              2 * std::atan(0.25) / degree, 1e-6);
  const auto drawing = [&](const std::string &name) { return bytes_in(options.out + "/" + name); };
  EXPECT_NE(drawing("base-shelf.dxf").find("CUT_OUTS"), std::string::npos);
  EXPECT_NE(drawing("base-right.dxf").find("bevel 14.0 deg with baffle"), std::string::npos);
  EXPECT_NE(drawing("base-right.dxf").find("shelf, inner face"), std::string::npos);

  // A STEP file: flat boards are cut to the same sizes, a tube is refused by name.
  const CaseText shaped(wedge(""));
  const Structure s = shaped.read().variants[0];
  write_step_file((text.folder / "wedge.step").string(), s);
  std::string solids =
      "name = \"drawn\"\nup_to_hz = 400\n[solids]\nfile = \"wedge.step\"\n[[solids.layer]]\nname = "
      "\"mdf\"\nmaterial = \"mdf\"\n";
  std::ofstream(text.folder / "drawn.toml") << solids;
  const CutList drawn = cut_list(read_case((text.folder / "drawn.toml").string(), built_in_materials).variants[0]);
  const CutList native = cut_list(s);
  for (const CutPart &part : native.parts) {
    EXPECT_NEAR(part_named(drawn, part.board).area, part.area, 1e-9) << part.board;
    EXPECT_NEAR(part_named(drawn, part.board).mass, part.mass, 1e-9) << part.board;
  }
  const CaseText tube(
      "name = \"tube\"\nup_to_hz = 400\n[shape]\nboard = { material = \"mdf\", thickness = 12 }\ntube = "
      "{ diameter = 160, length = 200 }\n");
  write_step_file((text.folder / "wedge.step").string() + "2", tube.read().variants[0]);
  std::ofstream(text.folder / "round.toml") << solids.replace(solids.find("wedge.step"), 10, "wedge.step2");
  try {
    run_cut(read_case((text.folder / "round.toml").string(), built_in_materials), {});
    ADD_FAILURE() << "a tube was cut from a STEP file";
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find("\"tube\" of \"base\": it is bent"), std::string::npos) << error.what();
  }
}

}  // namespace
}  // namespace stillbox
