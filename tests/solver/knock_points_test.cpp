// SPDX-License-Identifier: MIT
// Where knocks land: even over the area, clear of edges and cut-outs; and every wrong place is refused with its reason.
#include "solver/knock_points.h"

#include "mesh/case_file.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

const Material board = isotropic(3.5e9, 0.25, 750);

TEST(KnockPoints, GridIsEvenAndClear) {
  const Structure s = stand_mount(board);
  const std::vector<KnockPoint> points = knock_grid(s);
  EXPECT_GE(points.size(), 200u);
  EXPECT_LE(points.size(), 230u);
  std::vector<int> count(s.boards.size(), 0);
  for (const KnockPoint &p : points) {
    const Board &wall = s.boards.at(p.face);
    ASSERT_EQ(wall.role, BoardRole::wall);
    ++count[p.face];
    const Eigen::Vector2d uv = outline_bounds(wall).first + p.place;
    EXPECT_LT((wall.at(uv.x(), uv.y(), wall.thickness()) - p.at).norm(), 1e-12);
    EXPECT_LT((wall.normal() - p.normal).norm(), 1e-12);
    // By hand from the outline and the cut-outs, which are round but for the terminal's.
    EXPECT_GE(p.place.minCoeff(), 0.005);
    EXPECT_GE((outline_bounds(wall).second - uv).minCoeff(), 0.005);
    for (const CutOut &c : wall.cut_outs) {
      const Eigen::Vector2d d = (uv - c.centre).cwiseAbs();
      if (c.shape == CutOutShape::round)
        EXPECT_GE(d.norm(), c.width / 2 + 0.005 - 1e-12) << c.name;
      else
        EXPECT_TRUE(d.x() >= c.width / 2 + 0.0035 || d.y() >= c.height / 2 + 0.0035) << c.name;
    }
  }
  double area = 0;
  for (int b : knock_boards(s)) area += outline_area(s.boards[b]);
  for (int b : {left, right, top, bottom}) {  // without cut-outs: as many points as its share of the area, to a row
    const double pitch2 = outline_area(s.boards[b]) / count[b];
    EXPECT_NEAR(pitch2 / (area / double(points.size() + 30)), 1, 0.25) << s.boards[b].name;
  }
}

TEST(KnockPoints, AskedNumberFreeBoardsAndDiscs) {
  Structure plate = free_plate(0.3, 0.2, 0.01, board);
  EXPECT_GE(knock_grid(plate, 500).size(), 500u);
  EXPECT_LE(knock_grid(plate, 500).size(), 540u);
  EXPECT_EQ(knock_grid(plate, 1).size(), 1u);
  const Structure disc = free_disc(0.1, 0.01, board);
  for (const KnockPoint &p : knock_grid(disc)) EXPECT_LE((p.at - p.at.z() * p.normal).norm(), 0.095 + 1e-12);
  // 12 mm wide: only the middle strip of 2 mm is far enough from the edges.
  for (const KnockPoint &p : knock_grid(free_plate(0.3, 0.012, 0.01, board), 10))
    EXPECT_NEAR(p.place.y(), 0.006, 0.001);
  EXPECT_THROW(knock_grid(free_plate(0.3, 0.008, 0.01, board)), CaseError);
}

TEST(KnockPoints, WoodThatAnotherWallTakesIsNotKnocked) {
  Structure s = cabinet(0.22, 0.3, 0.38, 0.018, Corner::rebate, board);
  EXPECT_NEAR(wood_clearance(s, left, {0.004, 0.19}), 0.004, 1e-12);
  // As if the baffle were let through the whole side: its edge shows on the side's face.
  s.boards[baffle] =
      make_rectangle("baffle", {0, 0.018, 0}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitZ(), 0.22, 0.38, 0.018, 0);
  const double depth = 0.3;  // of the side, whose u runs to the front
  EXPECT_NEAR(wood_clearance(s, left, {depth - 0.018 - 0.012, 0.19}), 0.012, 1e-9);
  EXPECT_LT(wood_clearance(s, left, {depth - 0.010, 0.19}), 0);
}

TEST(KnockPoints, SpotsAreRead) {
  const KnockSpot spot = read_knock_spot(" side, left , 12 cm, 3 1/4 in");
  EXPECT_EQ(spot.wall, "side, left");
  EXPECT_NEAR(spot.place.x(), 0.12, 1e-12);
  EXPECT_NEAR(spot.place.y(), 3.25 * 0.0254, 1e-12);
  const KnockPoint point = knock_point(stand_mount(board), read_knock_spot("left,120,80.5"));
  EXPECT_EQ(point.face, int(left));
  EXPECT_NEAR(point.place.y(), 0.0805, 1e-12);
}

void expect_refused(const Structure &s, const std::string &text, const std::vector<std::string> &parts) {
  SCOPED_TRACE(text);
  try {
    knock_point(s, read_knock_spot(text));
    ADD_FAILURE() << "was accepted";
  } catch (const CaseError &error) {
    const std::string what = error.what();
    EXPECT_EQ(what.find('\n'), std::string::npos);
    EXPECT_NE(what.find("--at \"" + text + "\""), std::string::npos) << what;
    for (const std::string &part : parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
  }
}

TEST(KnockPoints, WrongSpotsAreRefused) {
  Structure s = stand_mount(board);
  s.variant_name = "bare";
  for (const char *text : {"", "left", "left,100", ",10,20", "left,,20", "left,10,", "left,ten,20", "left,1e3,20",
                           "left,10 ft,20", "left,nan,20", "left,10,20 mm 3"})
    expect_refused(s, text, {"such as --at"});
  expect_refused(s, "lefft,100,100",
                 {"\"bare\" has no wall \"lefft\"", "did you mean \"left\"?", "baffle, back, left"});
  expect_refused(s, "shelf,100,100", {"has no wall \"shelf\""});  // a brace is not knocked from outside
  expect_refused(s, "left,-20,100", {"-20, 100 mm", "lies off the wall", "between 5, 5 mm and 259, 375 mm"});
  expect_refused(s, "left,100,4000", {"lies off the wall"});
  expect_refused(s, "left,3,100", {"is 3 mm from an edge"});
  expect_refused(s, "baffle,110,120", {"lies on the cut-out \"woofer\""});
  expect_refused(s, "baffle,110,195", {"is 2.5 mm from an edge or a cut-out"});
  expect_refused(s, "back,110,100", {"lies on the cut-out \"terminal\""});
}

}  // namespace
}  // namespace stillbox
