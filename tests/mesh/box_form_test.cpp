// SPDX-License-Identifier: MIT
// Which cabinets by [shape] have the form of a box and get hexahedra, and why others have not; the room's map.
#include "mesh/box_form.h"

#include "mesh/box_room.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

const std::string wedge =
    "[shape]\nfootprint = [[0, 0], [200, 0], [150, 240], [50, 240]]\nwalls = [\"baffle\", \"right\", \"back\", "
    "\"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 }\n";

Structure read_lines(const std::string &lines) { return CaseText(without_cabinet(lines)).read().variants.at(0); }

std::string why_not(const std::string &lines) {
  const Structure s = read_lines(lines);
  std::string why;
  return boxed_shape(s, why) ? "" : why;
}

std::string chamfer(const std::string &edge, const std::string &size) {
  return "[[shape.chamfer]]\nedge = [" + edge + "]\nsize = " + size + "\n";
}

TEST(BoxForm, TellsWhyNot) {
  const std::string walls =
      "walls = [\"baffle\", \"right\", \"back\", \"left\"]\nheight = 300\nboard = { material = "
      "\"mdf\", thickness = 16 }\n";
  EXPECT_EQ(why_not(wedge), "");
  EXPECT_EQ(why_not(wedge + "wall.baffle.slope_deg = 8\n"), "");
  EXPECT_EQ(why_not(wedge + "wall.left.radius = 500\n"), "");
  EXPECT_EQ(why_not(wedge + chamfer("\"baffle\", \"left\"", "12")), "");
  EXPECT_EQ(why_not(wedge + "elements = \"tetrahedra\"\n"), "the case asks for them");
  EXPECT_NE(why_not("[shape]\nfootprint = [[0, 0], [200, 0], [220, 100], [150, 240], [0, 240]]\nwalls = [\"a\", \"b\", "
                    "\"c\", \"d\", \"e\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 }\n")
                .find("5 upright walls"),
            std::string::npos);
  EXPECT_NE(
      why_not("[shape]\ntube = { diameter = 160, length = 200 }\nboard = { material = \"mdf\", thickness = 12 }\n")
          .find("tube"),
      std::string::npos);
  EXPECT_NE(why_not("[shape]\nfootprint = [[0, 0], [150, 0], [300, 10], [150, 250]]\n" + walls).find("corner"),
            std::string::npos);
  EXPECT_NE(why_not(wedge + chamfer("\"baffle\", \"left\"", "[20, 8]")).find("reaches over the thickness"),
            std::string::npos);
  EXPECT_NE(why_not(wedge + chamfer("\"baffle\", \"left\"", "8") + chamfer("\"baffle\", \"top\"", "8"))
                .find("run into each other"),
            std::string::npos);
  // An upright brace beside the slanted left wall ends on it and not on the back.
  EXPECT_NE(why_not(wedge + "[[brace]]\nname = \"upright\"\nkind = \"shelf\"\nnormal = \"width\"\nat = 20\n")
                .find("does not reach"),
            std::string::npos);
  EXPECT_EQ(why_not(wedge + "[[brace]]\nname = \"upright\"\nkind = \"shelf\"\nnormal = \"width\"\nat = 84\n"), "");
  EXPECT_NE(
      why_not("[shape]\nfootprint = [[0, 0], [120, 120], [0, 240], [-120, 120]]\n" + walls).find("along the width"),
      std::string::npos);
  EXPECT_NE(why_not(wedge + shelf("level", "at = 130") + hole("centre = [100, 110]", "diameter = 53") +
                    "[mesh]\nminimum_web = 1\n")
                .find("\"hole\" comes closer than 2 mm to \"level\""),
            std::string::npos);
}

TEST(BoxForm, CutOutsKeepTheirPlaceAmongTheWalls) {
  const Structure s = read_lines(wedge +
                                 "wall.baffle.slope_deg = 8\n[[cut_out]]\nname = \"hole\"\non = \"back\"\nshape = "
                                 "\"round\"\ncentre = [50, 150]\ndiameter = 50\n");
  std::string why;
  const auto boxed = boxed_shape(s, why);
  ASSERT_TRUE(boxed) << why;
  const CutOut &likeness = boxed->box.boards[2].cut_outs.at(0);
  EXPECT_EQ(likeness.width, 0.05);
  // In the middle across: the wedge is symmetric. The box is as wide as the baffle inside at the bottom.
  const auto [low, high] = outline_bounds(boxed->box.boards[2]);
  const Eigen::Vector3d at = boxed->box.boards[2].at(likeness.centre.x(), 0, 0);
  EXPECT_NEAR(at.x(), (boxed->edges.inner_low.x() + boxed->edges.inner_high.x()) / 2, 1e-9);
  EXPECT_GT(high.x() - low.x(), 0.15);
}

// The room's map keeps walls and braces: the planes of a leaning baffle, of a shelf, and the opening of a window.
TEST(BoxForm, RoomKeepsItsPlanes) {
  const Structure s = read_lines(wedge +
                                 "wall.baffle.slope_deg = 8\n[[brace]]\nname = \"shelf\"\nkind = \"window\"\nnormal = "
                                 "\"height\"\nat = 120\nopenings = { rim = 30 }\n");
  std::string why;
  const auto boxed = std::make_shared<const BoxedShape>(*boxed_shape(s, why));
  const RoomMap map = make_room_map(boxed);
  const Eigen::Vector3d low = boxed->edges.inner_low, high = boxed->edges.inner_high;
  const auto at = [&](double x, double y, double z) {
    return map(low + Eigen::Vector3d(x, y, z).cwiseProduct(high - low));
  };
  const Board &shelf = boxed->box.boards[6];
  const double level = (shelf.origin.z() - low.z()) / (high.z() - low.z());
  for (const double p : {0.0, 0.3, 1.0})
    for (const double q : {0.0, 0.45, 1.0}) {
      EXPECT_NEAR(s.boards[0].coordinates_of(at(p, 0, q)).z(), 0, 1e-12);
      EXPECT_NEAR(s.boards[1].coordinates_of(at(1, p, q)).z(), 0, 1e-12);
      EXPECT_NEAR(s.boards[2].coordinates_of(at(p, 1, q)).z(), 0, 1e-12);
      EXPECT_NEAR(s.boards[4].coordinates_of(at(p, q, 1)).z(), 0, 1e-12);
      EXPECT_NEAR(at(p, q, level).z(), 0.016 + 0.120 - 0.008, 1e-12);
    }
  // The window's edge beside the left wall runs 30 mm off it, half-way up the brace.
  const Eigen::Vector2d size = outline_bounds(shelf).second;
  for (const double q : {0.3, 0.5, 0.7}) {
    const Eigen::Vector3d x = map(shelf.at(0.030, q * size.y(), 0.008));
    EXPECT_NEAR(s.boards[3].coordinates_of(x).z(), -0.030, 1e-4);
  }
}

TEST(BoxForm, PortsAndFillings) {
  const std::string hole =
      "[[cut_out]]\nname = \"mouth\"\non = \"back\"\nshape = \"round\"\ncentre = [50, 150]\ndiameter "
      "= 50\n";
  const std::string port = "[[port]]\ncut_out = \"mouth\"\nlength = ";
  const Structure s =
      read_lines(wedge + hole + port + "120\n[[filling]]\nname = \"wool\"\nflow_resistivity_pa_s_m2 = 5000\n");
  EXPECT_EQ(s.ports.size(), 1u);
  EXPECT_EQ(s.linings.size(), 1u);
  const auto refused = [&](const std::string &lines, const std::string &part) {
    try {
      read_lines(lines);
      ADD_FAILURE() << "accepted";
    } catch (const CaseError &error) {
      const std::string what = error.what();
      EXPECT_NE(what.find(part), std::string::npos) << what;
      EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
    }
  };
  refused(wedge + hole + port + "200\n", "other walls");
  refused(wedge + hole + port + "120\n[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"depth\"\nat = 140\n",
          "runs into \"shelf\"");
  refused(wedge + "[[filling]]\nname = \"wool\"\nfrom = [0, 0, 0]\nflow_resistivity_pa_s_m2 = 5000\n",
          "all of the room");
  refused(wedge + "[[lining]]\nname = \"felt\"\non = [\"back\"]\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n",
          "[shape]");
}

}  // namespace
}  // namespace stillbox
