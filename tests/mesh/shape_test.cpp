// SPDX-License-Identifier: MIT
// Cabinets by their footprint and tubes: volumes in closed form, and mistakes in their description.
#include <cmath>
#include <numeric>

#include "mesh/grid.h"
#include "mesh/solids.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

Structure read_shape_case(const std::string &lines) { return CaseText(without_cabinet(lines)).read().variants.at(0); }

double all_wood(const Structure &s) {
  return std::accumulate(s.solids->board_volume.begin(), s.solids->board_volume.end(), 0.0);
}

const std::string tapered =
    "[shape]\nfootprint = [[0, 0], [200, 0], [150, 240], [50, 240]]\nwalls = [\"baffle\", \"right\", \"back\", "
    "\"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 }\n";

// Volume between level sections whose corners run along straight lines: h / 6 (A0 + 4 Am + A1), the prismatoid formula
// (any handbook of mathematics), exact here.
double prismatoid(double h, double low, double middle, double high) { return h / 6 * (low + 4 * middle + high); }

// The baffle leans back by s: it takes tan s times the height off the depth. The sides keep their planes, so that the
// section is the trapezoid from the line y = z tan s on: widths 200 - 100 y / 240 there and 100 at the back.
double section_of_tapered(double cut) {
  const double front = 0.2 - 0.1 * cut / 0.24;
  return (front + 0.1) / 2 * (0.24 - cut);
}

TEST(Shapes, TruncatedWedgeHasItsVolumeAndMass) {
  for (const double slope : {0.0, 8.0, -5.0}) {
    const Structure s = read_shape_case(tapered + "wall.baffle.slope_deg = " + std::to_string(slope) + "\n");
    const double lean = std::tan(slope * M_PI / 180) * 0.3;
    const double outer = prismatoid(0.3, section_of_tapered(0), section_of_tapered(lean / 2), section_of_tapered(lean));
    ASSERT_EQ(s.solids->chamber_volume.size(), 1u);
    EXPECT_NEAR((all_wood(s) + s.solids->chamber_volume[0]) / outer, 1, 1e-9) << slope;
    EXPECT_NEAR(volumes_of(s).mass, 750 * all_wood(s), 1e-9);
    EXPECT_NEAR(volumes_of(s).inner, s.solids->chamber_volume[0], 1e-15);
  }
}

// The back of the upright one lies between the sides' inner planes behind the baffle: a trapezoid times the height.
TEST(Shapes, WallsEndWhereRunThroughSays) {
  const Structure s = read_shape_case(tapered);
  const double lean = 50.0 / 240, t = 0.016;
  // Default order: baffle, right, back, left, top, bottom. The back ends at the right wall's inner plane, and runs
  // through to the left wall's outer plane.
  const double across = std::hypot(1.0, lean) * t;  // of a side along x
  const auto width_at = [&](double y) { return 0.2 - 2 * lean * y; };
  const double outer = width_at(0.24) - across, inner = width_at(0.24 - t) - across;
  EXPECT_NEAR(s.solids->board_volume[2], (outer + inner) / 2 * t * 0.3, 1e-12);
  // The baffle runs through to both outer planes.
  EXPECT_NEAR(s.solids->board_volume[0], (width_at(0) + width_at(t)) / 2 * t * 0.3, 1e-12);
  // Top and bottom lie between all walls.
  const auto room = [&](double y) { return width_at(y) - 2 * across; };
  EXPECT_NEAR(s.solids->board_volume[4], (room(t) + room(0.24 - t)) / 2 * (0.24 - 2 * t) * t, 1e-12);
  EXPECT_NEAR(s.solids->board_volume[4], s.solids->board_volume[5], 1e-12);
}

TEST(Shapes, MitredAndButtedHoldTheSameWood) {
  const Structure butted = read_shape_case(tapered), mitred = read_shape_case(tapered + "corners = \"mitre\"\n");
  EXPECT_NEAR(all_wood(butted), all_wood(mitred), 1e-12);
  EXPECT_NEAR(mitred.solids->board_volume[1], mitred.solids->board_volume[3], 1e-12);
}

TEST(Shapes, ChamferTakesATriangularPrism) {
  const std::string rows = "[[shape.chamfer]]\nedge = [\"baffle\", \"right\"]\nsize = [10, 6]\n";
  const Structure plain = read_shape_case(tapered), cut = read_shape_case(tapered + rows);
  const double angle = M_PI - std::atan2(240, 50);  // inside, between baffle and right: 180 degrees less the turn
  EXPECT_NEAR(all_wood(plain) - all_wood(cut), 0.010 * 0.006 / 2 * std::sin(angle) * 0.3, 1e-12);
  EXPECT_EQ(cut.solids->outer_planes.size(), 1u);
}

TEST(Shapes, TubeHasItsVolume) {
  for (const char *along : {"height", "depth", "width"})
    for (const bool inset : {true, false}) {
      const Structure s = read_shape_case(
          std::string("[shape]\nboard = { material = \"mdf\", thickness = 10 }\ntube = { diameter = 200, length = 300, "
                      "along = \"") +
          along + "\", ends = \"" + (inset ? "inset" : "covering") + "\" }\n");
      const double ring = M_PI * (0.1 * 0.1 - 0.09 * 0.09), disc = M_PI * (inset ? 0.09 * 0.09 : 0.1 * 0.1) * 0.01;
      EXPECT_NEAR(s.solids->board_volume[0], ring * (inset ? 0.3 : 0.28), 1e-12);
      EXPECT_NEAR(s.solids->board_volume[1], disc, 1e-12);
      EXPECT_NEAR(s.solids->chamber_volume.at(0), M_PI * 0.09 * 0.09 * 0.28, 1e-12);
    }
}

// A wall bent to an arc of radius R over a chord c: its outer edge is 2 R asin(c / 2R) long, the segment it adds to the
// footprint is R^2 (a - sin a) / 2 with a the angle of the arc.
TEST(Shapes, BentWallsHoldTheirArc) {
  const std::string bent =
      "[shape]\nfootprint = [[0, 0], [200, 0], [200, 240], [0, 240]]\nwalls = [\"baffle\", \"right\", \"back\", "
      "\"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 }\nwall.right.radius = ";
  for (const double radius : {300.0, -300.0}) {
    const Structure s = read_shape_case(bent + std::to_string(radius) + "\n");
    const double R = 0.3, angle = 2 * std::asin(0.12 / R);
    const double segment = R * R * (angle - std::sin(angle)) / 2;
    EXPECT_NEAR(all_wood(s) + s.solids->chamber_volume.at(0), (0.2 * 0.24 + (radius > 0 ? segment : -segment)) * 0.3,
                1e-10);
    const auto [low, high] = outline_bounds(s.boards[1]);
    EXPECT_NEAR(high.x() - low.x(), R * angle, 1e-12);
    // Board coordinates and places are each other's inverse, and the outer face lies on the circle.
    const Eigen::Vector3d p(0.05, 0.1, 0.016), x = s.boards[1].at(p.x(), p.y(), p.z());
    EXPECT_LT((s.boards[1].coordinates_of(x) - p).norm(), 1e-12);
    EXPECT_NEAR(std::hypot(x.x() - s.boards[1].bend->centre.x(), x.y() - s.boards[1].bend->centre.y()), R, 1e-12);
    EXPECT_GT(s.boards[1].axes_at(x).col(2).x(), 0.8);  // outwards
    EXPECT_NEAR(s.boards[1].axes_at(x).determinant(), 1, 1e-12);
  }
}

TEST(Shapes, DividersPartTheRoom) {
  const Structure s = read_shape_case(tapered + shelf("divider", "at = 100", "thickness = 12\n") +
                                      "[[brace]]\nname = \"frame\"\nkind = \"window\"\nnormal = \"depth\"\nat = "
                                      "100\nthickness = 10\nopenings = { rim = 30 }\n");
  ASSERT_EQ(s.solids->chamber_volume.size(), 2u);
  // Room above 300 - 16 - 16 - 106 mm to 94 mm below, but for what the frame takes of each.
  EXPECT_GT(s.solids->chamber_volume[0], s.solids->chamber_volume[1]);
  EXPECT_NEAR(
      s.solids->chamber_volume[0] + s.solids->chamber_volume[1] + s.solids->board_volume[6] + s.solids->board_volume[7],
      read_shape_case(tapered).solids->chamber_volume[0], 2e-7);
}

// A window's rim runs along the walls that the brace is glued to, also where the brace is nearer than the rim to a wall
// that it does not touch: section of the room, less that of the room narrower by the rim all round, times thickness.
TEST(Shapes, WindowsKeepTheirRimNearAnotherWall) {
  const double t = 0.016, rim = 0.03, thick = 0.012, lean = 50.0 / 240;
  const auto width_at = [&](double y, double depth) { return 0.2 - 2 * lean * y - 2 * std::hypot(1.0, lean) * depth; };
  const auto window = [&](const std::string &normal, double at) {
    return read_shape_case(tapered + "[[brace]]\nname = \"frame\"\nkind = \"window\"\nnormal = \"" + normal +
                           "\"\nat = " + std::to_string(at) + "\nthickness = 12\nopenings = { rim = 30 }\n");
  };
  const auto level = [&](double depth) {
    return (width_at(depth, depth) + width_at(0.24 - depth, depth)) / 2 * (0.24 - 2 * depth);
  };
  for (const double at : {10.0, 134.0, 250.0, 262.0})  // room of 268 mm; the last one lies against the top
    EXPECT_NEAR(window("height", at).solids->board_volume[6] / ((level(t) - level(t + rim)) * thick), 1, 1e-9) << at;
  for (const double at : {20.0, 104.0, 190.0}) {
    const double y = t + at / 1000, room = width_at(y, t), opening = width_at(y, t + rim);
    EXPECT_NEAR(window("depth", at).solids->board_volume[6] / ((room * 0.268 - opening * 0.208) * thick), 1, 1e-9)
        << at;
  }
  const Structure tube = read_shape_case(
      "[shape]\nboard = { material = \"mdf\", thickness = 10 }\ntube = { diameter = 200, length = 300 }\n[[brace]]\n"
      "name = \"ring\"\nkind = \"window\"\nnormal = \"height\"\nat = 265\nthickness = 12\nopenings = { rim = 30 }\n");
  EXPECT_NEAR(tube.solids->board_volume[3] / (M_PI * (0.09 * 0.09 - 0.06 * 0.06) * thick), 1, 1e-9);
}

TEST(Shapes, CutOutsTakeTheirWood) {
  const Structure plain = read_shape_case(tapered), cut = read_shape_case(tapered + hole("centre = [100, 150]"));
  EXPECT_NEAR(plain.solids->board_volume[0] - cut.solids->board_volume[0], M_PI * 0.03 * 0.03 * 0.016, 1e-12);
}

std::string round_hole(const std::string &on, const std::string &centre, double diameter) {
  return "[[cut_out]]\nname = \"h\"\non = \"" + on + "\"\nshape = \"round\"\ncentre = " + centre +
         "\ndiameter = " + std::to_string(diameter) + "\n";
}

// Braces are as large as the room is anywhere, and windows' openings no cut-outs: what lies between is reckoned in
// space. Each pair of places is a millimetre to either side of the least web, 5 mm; square distances to the planes by
// hand.
TEST(Shapes, CutOutsStayClearOfWallsBracesAndOpenings) {
  const std::string divider = tapered + shelf("s", "at = 100");  // 108 .. 124 mm up
  const std::string frame = tapered +
                            "[[brace]]\nname = \"w\"\nkind = \"window\"\nnormal = \"height\"\nat = 100\n"
                            "openings = { rim = 30 }\n";
  struct Place {
    const char *name;
    std::string text, on, near, far;
    double diameter;
    const char *what;
  };
  // The left wall's inner face: x = lean y + 16 mm hypot(1, lean); the room's corner, from which a brace counts, where
  // y is 16 mm.
  const double lean = 50.0 / 240, slant = std::hypot(1.0, lean);
  const auto off_left = [&](double wood) {
    return "[" + std::to_string(lean * (120 - 16) + (30 + wood) * slant) + ", 104]";
  };
  const std::vector<Place> places = {
      {"shelf's hole beside a leaning wall", divider, "s", off_left(4), off_left(6), 60, "the board \"left\""},
      {"leaning wall's hole over a shelf", divider, "left", "[120, 158]", "[120, 160]", 60, "the board \"s\""},
      {"leaning wall's hole under a shelf", divider, "left", "[120, 84]", "[120, 82]", 40, "the board \"s\""},
      {"hole in a window's rim", frame, "w", "[80, 190]", "[80, 192]", 16, "the opening of \"w\""},
  };
  for (const Place &p : places) {
    expect_refused({p.name,
                    without_cabinet(p.text + round_hole(p.on, p.near + "#!", p.diameter)),
                    {"cut_out[1].centre", "with a web of 4 mm", p.what}});
    EXPECT_NO_THROW(read_shape_case(p.text + round_hole(p.on, p.far, p.diameter))) << p.name;
  }
  for (const char *centre : {"[80, 100]#!", "[80, 182]#!"})
    expect_refused({"hole in a window's opening",
                    without_cabinet(frame + round_hole("w", centre, 16)),
                    {"cut_out[1].centre", "overlaps", "the opening of \"w\""}});
  // An L of 300 x 300 mm, 16 mm boards: the inward corner of its room is at 134, 134; a brace counts from 16, 16.
  const std::string bent =
      "[shape]\nfootprint = [[0, 0], [300, 0], [300, 150], [150, 150], [150, 300], [0, 300]]\n"
      "walls = [\"front\", \"right\", \"notch\", \"flank\", \"back\", \"left\"]\nheight = 300\n"
      "corners = \"mitre\"\nboard = { material = \"mdf\", thickness = 16 }\n" +
      shelf("s", "at = 100");
  const auto off_corner = [](double wood) {
    const std::string at = std::to_string(134 - (20 + wood) / std::sqrt(2.0) - 16);
    return "[" + at + ", " + at + "]";
  };
  expect_refused({"shelf's hole at an inward corner",
                  without_cabinet(bent + round_hole("s", off_corner(4) + "#!", 40)),
                  {"cut_out[1].centre", "with a web of 4 mm", "the board \"notch\""}});
  EXPECT_NO_THROW(read_shape_case(bent + round_hole("s", off_corner(6), 40)));
  EXPECT_NO_THROW(read_shape_case(bent + round_hole("s", "[180, 60]", 40)));
  expect_refused({"shelf's hole outside the room",
                  without_cabinet(bent + round_hole("s", "[200, 200]#!", 40)),
                  {"cut_out[1].centre", "overlaps or reaches beyond"}});
  expect_refused({"end of a tube over a divider",
                  without_cabinet("[shape]\nboard = { material = \"mdf\", thickness = 10 }\ntube = { diameter = 200, "
                                  "length = 300 }\n" +
                                  shelf("s", "at = 90").replace(shelf("s", "").find("height"), 6, "width") +
                                  round_hole("top", "[100, 100]#!", 40)),
                  {"cut_out[1].centre", "overlaps", "the board \"s\""}});
}

TEST(Shapes, MistakesAreFoundBeforeMeshing) {
  const std::string head = "[shape]\nfootprint = [[0, 0], [200, 0], [150, 240], [50, 240]]\n";
  const std::string names = "walls = [\"baffle\", \"right\", \"back\", \"left\"]\n";
  const std::string rest = "height = 300\nboard = { material = \"mdf\", thickness = 16 }\n";
  const std::vector<Mistake> mistakes = {
      {"clockwise",
       without_cabinet("[shape]\nfootprint = [[0, 0], [50, 240], [150, 240], [200, 0]]#!\n" + names + rest),
       {"clockwise", "anticlockwise"}},
      {"crossing",
       without_cabinet("[shape]\nfootprint = [[0, 0], [200, 0], [0, 200], [200, 200]]#!\n" + names + rest),
       {"\"left\" crosses", "in their order"}},
      {"names",
       without_cabinet(head + "walls = [\"baffle\", \"right\", \"left\"]#!\n" + rest),
       {"shape.walls", "4 names"}},
      {"no height",
       without_cabinet("[shape]#!\n" + head.substr(8) + names + "board = { material = \"mdf\", thickness = 16 }\n"),
       {"shape.height", "missing", "20 .. 5000 mm"}},
      {"no thickness",
       without_cabinet(head + names + "height = 300\nboard = { material = \"mdf\" }#!\n"),
       {"shape.board.thickness", "missing", "0.5 .. 200 mm"}},
      {"too thick",
       without_cabinet(head.substr(0, 8) + head.substr(8, head.size() - 9) + "#!\n" + names +
                       "height = 300\nboard = { material = \"mdf\", thickness = 65 }\n"),
       {"no width left", "thinner"}},
      {"slope", without_cabinet(head + names + rest + "wall.baffle.slope_deg = 50#!\n"), {"-45 .. 45 deg"}},
      {"unknown wall",
       without_cabinet(head + names + rest + "wall.front.slope_deg = 5#!\n"),
       {"there is no such wall"}},
      {"small arc",
       without_cabinet(head.substr(0, head.size() - 1) + "#!\n" + names + rest + "wall.right.radius = 100\n"),
       {"\"right\"", "arc", "radius"}},
      {"arc and slope",
       without_cabinet(head + names + rest + "wall.right.radius = 400#!\nwall.baffle.slope_deg = 5\n"),
       {"upright"}},
      {"chamfer",
       without_cabinet(head + names + rest + "[[shape.chamfer]]\nedge = [\"baffle\", \"left\"]\nsize = 40#!\n"),
       {"shape.chamfer", "1 mm of wood"}},
      {"chamfer edge",
       without_cabinet(head + names + rest + "[[shape.chamfer]]\nedge = [\"baffle\", \"front\"]#!\nsize = 4\n"),
       {"front", "baffle"}},
      {"sheet",
       without_cabinet("#![[sheet]]\nname = \"s\"\non = [\"back\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\n" +
                       head + names + rest),
       {"sheet", "not with [shape]"}},
      {"hole over a side",
       without_cabinet(head + names + rest +
                       "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = "
                       "\"round\"\ncentre = [36, 150]#!\ndiameter = 50\n"),
       {"end of a neighbouring wall"}},
      {"hole off the wall",
       without_cabinet(head + names + rest +
                       "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = "
                       "\"round\"\ncentre = [190, 150]#!\ndiameter = 50\n"),
       {"edge of \"baffle\""}},
      {"brace outside",
       without_cabinet(head + names + rest + shelf("s", "at = 290#!")),
       {"brace[1].at", "move it inside"}},
      {"rib",
       without_cabinet(head + names + rest + "[[brace]]\nname = \"r\"\nkind = \"rib\"#!\non = \"left\"\n"),
       {"shelf, window"}},
      {"rim",  // 46 mm from the room's middle to its three walls
       without_cabinet("[shape]\nfootprint = [[0, 0], [200, 0], [100, 200]]\nwalls = [\"baffle\", \"right\", "
                       "\"left\"]\n" +
                       rest +
                       "[[brace]]\nname = \"r\"\nkind = \"window\"\nnormal = \"height\"\nat = 100\n"
                       "openings = { rim = 60 }#!\n"),
       {"brace[1].openings", "an edge at every wall", "60 mm", "narrower"}},
      {"tube",
       without_cabinet("[shape]\nboard = { material = \"mdf\", thickness = 30 }\ntube = { diameter = 65, length = "
                       "300 }#!\n"),
       {"diameter", "no room"}},
      {"both",
       without_cabinet(head + names + rest + "tube = { diameter = 100, length = 300 }#!\n"),
       {"one of footprint and tube"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
