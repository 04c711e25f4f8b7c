// SPDX-License-Identifier: MIT
// Where a case file's braces, openings and fittings come to stand.
#include <algorithm>
#include <cmath>

#include "tests/mesh/boards.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

TEST(CaseReader, EveryKindOfBraceStandsWhereItShould) {
  const CaseText text(box + R"(
brace = []
)");
  EXPECT_THROW(text.read(), CaseError);  // a list of braces belongs to the top of the file, not to the cabinet
  const CaseText braces(box + R"([[brace]]
name = "shelf"
kind = "shelf"
normal = "depth"
at = 132
thickness = 12
glued = ["left", "right"]
[[brace]]
name = "rib"
kind = "rib"
on = "right"
along = "height"
at = 60
from = 50
to = 200
stand_off = 40
thickness = 20
[[brace]]
name = "bar"
kind = "bar"
between = ["left", "right"]
at = [200, 150]
section = [30, 20]
[[brace]]
name = "block"
kind = "corner block"
edge = ["left", "top"]
section = [25, 30]
from = 10
to = 100
)");
  const Structure s = braces.read().variants.front();
  const Board &shelf = board_of(s, "shelf"), &bar = board_of(s, "bar");
  expect_box(shelf, {18, 144, 18}, {182, 156, 382});
  const std::array<bool, 6> glued{false, false, true, true, true, true};  // u runs up, v to the right
  EXPECT_EQ(shelf.glued, glued);
  expect_box(board_of(s, "rib"), {142, 68, 68}, {182, 88, 218});
  expect_box(bar, {18, 203, 158}, {182, 233, 178});
  EXPECT_NEAR(bar.thickness(), 0.02, 1e-12);
  expect_box(board_of(s, "block"), {18, 28, 352}, {43, 118, 382});
}

TEST(CaseReader, CrossingBracesShareTheWood) {
  const std::string two = box + R"([[brace]]
name = "a"
kind = "shelf"
normal = "height"
at = 182
[[brace]]
name = "b"
kind = "window"
normal = "width"
at = 82
)";
  const CaseText plain(two), butted(two + "[[crossing]]\nbetween = [\"a\", \"b\"]\nkind = \"butt\"\nthrough = \"b\"\n");
  const Structure s = plain.read().variants.front(), t = butted.read().variants.front();
  ASSERT_EQ(s.overlaps.size(), 1u);
  EXPECT_EQ(s.overlaps[0].sharing, Sharing::half_lap);
  ASSERT_EQ(t.overlaps.size(), 1u);
  EXPECT_EQ(t.overlaps[0].sharing, Sharing::first_owns);
  EXPECT_EQ(t.boards[t.overlaps[0].first].name, "b");
}

TEST(CaseReader, OpeningsFillRowsAndColumns) {
  const CaseText text(box + R"([[brace]]
name = "grid"
kind = "window"
normal = "depth"
at = 132
openings = { columns = 2, rows = 3, rim = 30, web = 20 }
)");
  const Structure s = text.read().variants.front();
  const Board &grid = board_of(s, "grid");
  ASSERT_EQ(grid.cut_outs.size(), 6u);
  // Clear section 164 wide, 364 high; u runs up and v to the right.
  EXPECT_NEAR(grid.cut_outs[0].height, 0.042, 1e-12);
  EXPECT_NEAR(grid.cut_outs[0].width, 0.088, 1e-12);
  EXPECT_NEAR(grid.cut_outs[1].centre.y() - grid.cut_outs[0].centre.y(), 0.062, 1e-12);
  EXPECT_NEAR(grid.cut_outs[2].centre.x() - grid.cut_outs[0].centre.x(), 0.108, 1e-12);
}

TEST(CaseReader, FittingsSitOnTheirFaces) {
  const CaseText text(box + R"([[sheet]]
name = "felt"
on = ["back"]
material = "bitumen-sheet"
thickness = 4
[[mass]]
name = "crossover"
on = "back"
area = { centre = [100, 150], size = [80, 100] }
mass_kg = 0.4
[[mass]]
name = "weight"
on = "top"
face = "outer"
at = [100, 150]
mass_kg = 1
[[foot]]
on = "bottom"
at = [30, 40]
stiffness_n_m = [1e4, 1e4, 2e5]
)");
  const Structure s = text.read().variants.front();
  ASSERT_EQ(s.area_masses.size(), 1u);
  EXPECT_EQ(s.boards[s.area_masses[0].board].name, "felt on back");
  EXPECT_FALSE(s.area_masses[0].on_high_side);
  EXPECT_LT((s.area_masses[0].low - Eigen::Vector2d(0.042, 0.082)).norm(), 1e-12);
  ASSERT_EQ(s.point_masses.size(), 1u);
  EXPECT_TRUE(s.point_masses[0].on_high_side);
  ASSERT_EQ(s.feet.size(), 1u);
  EXPECT_TRUE(s.feet[0].on_high_side);
  EXPECT_EQ(s.feet[0].stiffness.z(), 2e5);
}

}  // namespace
}  // namespace stillbox
