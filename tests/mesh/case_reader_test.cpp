// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cmath>

#include "tests/mesh/boards.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

/// Volume of the union of the walls, with every block claimed twice asserted to have a rule for sharing.
double shell_volume(const Structure &s) {
  std::array<std::vector<double>, 3> lines;
  for (int a = 0; a < 3; ++a) {
    for (const int w : s.cabinet->walls) {
      const auto [low, high] = world_bounds(s.boards[w]);
      lines[a].push_back(low[a]);
      lines[a].push_back(high[a]);
    }
    std::sort(lines[a].begin(), lines[a].end());
  }
  double volume = 0;
  for (std::size_t i = 0; i + 1 < lines[0].size(); ++i)
    for (std::size_t j = 0; j + 1 < lines[1].size(); ++j)
      for (std::size_t k = 0; k + 1 < lines[2].size(); ++k) {
        const Eigen::Vector3d low(lines[0][i], lines[1][j], lines[2][k]);
        const Eigen::Vector3d high(lines[0][i + 1], lines[1][j + 1], lines[2][k + 1]);
        if ((high - low).minCoeff() < 1e-9) continue;
        const Eigen::Vector3d p = (low + high) / 2;
        std::vector<int> claims;
        for (const int w : s.cabinet->walls) {
          const auto [from, to] = world_bounds(s.boards[w]);
          if ((p.array() > from.array()).all() && (p.array() < to.array()).all()) claims.push_back(w);
        }
        if (!claims.empty()) volume += (high - low).prod();
        for (std::size_t a = 0; a < claims.size(); ++a)
          for (std::size_t c = a + 1; c < claims.size(); ++c)
            EXPECT_TRUE(std::any_of(
                s.overlaps.begin(), s.overlaps.end(),
                [&](const Overlap &o) { return std::minmax(o.first, o.second) == std::minmax(claims[a], claims[c]); }))
                << s.boards[claims[a]].name << " and " << s.boards[claims[c]].name;
      }
  return volume;
}

void expect_full_shell(const std::string &joints) {
  const CaseText text(box + joints);
  const Structure s = text.read().variants.front();
  const CabinetFrame &frame = *s.cabinet;
  const double expected = frame.outer.prod() - (frame.inner_high - frame.inner_low).prod();
  EXPECT_NEAR(shell_volume(s), expected, 1e-12) << joints;
}

TEST(CaseReader, DemonstrationGivesTheExpectedBoxes) {
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", built_in_materials);
  ASSERT_EQ(file.variants.size(), 4u);
  EXPECT_EQ(file.variants[0].variant_name, "bare");
  EXPECT_EQ(file.mesh.up_to, 1500);
  const Structure &bare = file.variants[0];
  ASSERT_EQ(bare.boards.size(), 6u);
  expect_box(board_of(bare, "baffle"), {0, 0, 0}, {220, 24, 380});
  expect_box(board_of(bare, "back"), {0, 282, 0}, {220, 300, 380});
  expect_box(board_of(bare, "left"), {0, 24, 0}, {18, 282, 380});
  expect_box(board_of(bare, "top"), {18, 24, 362}, {202, 282, 380});
  EXPECT_EQ(board_of(bare, "baffle").cut_outs.size(), 2u);
  EXPECT_EQ(board_of(bare, "back").cut_outs.size(), 2u);
  EXPECT_NEAR(board_of(bare, "left").thickness_tolerance, 0.3e-3, 1e-12);

  ASSERT_EQ(bare.rim_masses.size(), 2u);
  const RimMass &woofer = bare.rim_masses[0];
  EXPECT_TRUE(woofer.rigid_basket);
  EXPECT_NEAR(woofer.depth_of_gravity, 0.045, 1e-12);
  EXPECT_NEAR(woofer.inertia.z(), 1.6 * 0.145 * 0.145 / 8, 1e-12);
  EXPECT_NEAR(woofer.inertia.x(), 1.6 * 0.145 * 0.145 / 12, 1e-12);
  EXPECT_FALSE(bare.rim_masses[1].rigid_basket);

  expect_box(board_of(file.variants[1], "shelf brace"), {18, 24, 199}, {202, 282, 217});
  expect_box(board_of(file.variants[2], "shelf brace"), {18, 24, 249}, {202, 282, 267});
  const Structure &damped = file.variants[3];
  EXPECT_EQ(damped.boards.size(), 12u);
  expect_box(board_of(damped, "bitumen on left"), {18, 24, 18}, {21, 282, 362});
  expect_box(board_of(damped, "bitumen on back"), {18, 279, 18}, {202, 282, 362});
  const CutOut &opening = board_of(damped, "shelf brace").cut_outs.at(0);
  EXPECT_TRUE(opening.opening);
  EXPECT_NEAR(opening.width, 0.184 - 0.09, 1e-12);
  EXPECT_NEAR(opening.height, 0.258 - 0.09, 1e-12);
}

TEST(CaseReader, EveryWallLooksOutwards) {
  const CaseText text(box);
  const Structure s = text.read().variants.front();
  const Eigen::Vector3d centre = s.cabinet->outer / 2;
  for (const int w : s.cabinet->walls) {
    const Board &board = s.boards[w];
    const auto [low, high] = world_bounds(board);
    const auto [from, to] = outline_bounds(board);
    const Eigen::Vector3d inner = board.at(to.x() / 2, to.y() / 2, 0),
                          outer = board.at(to.x() / 2, to.y() / 2, board.thickness());
    EXPECT_GT((outer - centre).norm(), (inner - centre).norm()) << board.name;
    EXPECT_LT(from.norm(), 1e-12);
    const bool reaches_out = (low.array() < 1e-9).any() || ((high - s.cabinet->outer).array() > -1e-9).any();
    EXPECT_TRUE(reaches_out) << board.name;
  }
}

TEST(CaseReader, WallCoordinatesStartAtTheOuterCorner) {
  const CaseText text(box + R"(
[[cut_out]]
name = "hole"
on = "left"
shape = "round"
centre = [100, 90]
diameter = 20
[[cut_out]]
name = "vent"
on = "bottom"
shape = "slot"
centre = [70, 80]
size = [40, 10]
)");
  const Structure s = text.read().variants.front();
  // Seen from outside the left wall runs from the back to the front, the bottom from right to left.
  const Board &left = board_of(s, "left"), &bottom = board_of(s, "bottom");
  const auto at = [](const Board &b) -> Eigen::Vector3d {
    return b.at(b.cut_outs[0].centre.x(), b.cut_outs[0].centre.y(), 0);
  };
  EXPECT_LT((at(left) - Eigen::Vector3d(0.018, 0.2, 0.09)).norm(), 1e-9);
  EXPECT_LT((at(bottom) - Eigen::Vector3d(0.13, 0.08, 0.018)).norm(), 1e-9);
}

TEST(CaseReader, WallsFillTheShellWithEveryJoint) {
  expect_full_shell("");
  expect_full_shell("run_through = [\"top\", \"bottom\", \"left\", \"right\", \"back\", \"baffle\"]\n");
  expect_full_shell(
      "[[cabinet.joint]]\nedge = [\"baffle\", \"left\"]\nkind = \"rebate\"\nrebate_depth = 9\n"
      "[[cabinet.joint]]\nedge = [\"baffle\", \"top\"]\nkind = \"rebate\"\nrebate_depth = 6\n");
  std::string mitres;
  for (const char *edge : {"\"left\", \"top\"", "\"right\", \"top\"", "\"left\", \"bottom\"", "\"right\", \"bottom\""})
    mitres += std::string("[[cabinet.joint]]\nedge = [") + edge + "]\nkind = \"mitre\"\n";
  expect_full_shell(mitres);
  for (const char *one : {"baffle", "back"})
    for (const char *other : {"left", "right", "top", "bottom"})
      mitres += std::string("[[cabinet.joint]]\nedge = [\"") + one + "\", \"" + other + "\"]\nkind = \"mitre\"\n";
  expect_full_shell(mitres);
}

TEST(CaseReader, JointsSetTheSizesOfTheBoards) {
  const CaseText text(box + R"([[cabinet.joint]]
edge = ["left", "baffle"]
kind = "rebate"
rebate_depth = 7
[[cabinet.joint]]
edge = ["right", "baffle"]
kind = "butt"
through = "right"
[[cabinet.joint]]
edge = ["left", "top"]
kind = "mitre"
)");
  const Structure s = text.read().variants.front();
  expect_box(board_of(s, "left"), {0, 11, 0}, {18, 282, 400});
  expect_box(board_of(s, "right"), {182, 0, 0}, {200, 282, 400});
  expect_box(board_of(s, "baffle"), {0, 0, 0}, {182, 18, 400});
  expect_box(board_of(s, "top"), {0, 18, 382}, {182, 282, 400});
  ASSERT_EQ(s.overlaps.size(), 2u);
  EXPECT_EQ(s.boards[s.overlaps[0].first].name, "left");
  EXPECT_EQ(s.boards[s.overlaps[0].second].name, "baffle");
  EXPECT_EQ(s.overlaps[0].sharing, Sharing::first_owns);
  EXPECT_EQ(s.overlaps[1].sharing, Sharing::mitre);
}

TEST(CaseReader, LayersAreListedFromTheOutsideIn) {
  const CaseText text(box + R"([cabinet.wall.left]
layers = [{ material = "steel", thickness = 2 }, { material = "mdf", thickness = "3/4 in", grain = "depth" }]
)");
  const Structure s = text.read().variants.front();
  const Board &left = board_of(s, "left");
  ASSERT_EQ(left.layers.size(), 2u);
  EXPECT_EQ(s.materials[left.layers[0].material].name, "mdf");
  EXPECT_EQ(s.materials[left.layers[1].material].name, "steel");
  EXPECT_NEAR(left.layers[0].thickness, 0.01905, 1e-12);
  EXPECT_NEAR(left.layers[0].grain_angle, 0, 1e-12);         // u of the left wall lies along the depth
  EXPECT_NEAR(left.layers[1].grain_angle, M_PI / 2, 1e-12);  // along the longer side, the height
  EXPECT_NEAR(s.cabinet->inner_low.x(), 0.02105, 1e-12);
}

TEST(CaseReader, GrainOfAllWallsTurnsWhereAWallHasNoSuchDirection) {
  std::string lines = box;
  lines.replace(lines.find("thickness = 18"), 14, "thickness = 18, grain = \"height\"");
  const CaseText text(lines);
  const Structure s = text.read().variants.front();
  for (const char *name : {"baffle", "back", "left", "right"})
    EXPECT_NEAR(board_of(s, name).layers[0].grain_angle, M_PI / 2, 1e-12) << name;
  for (const char *name : {"top", "bottom"}) EXPECT_NEAR(board_of(s, name).layers[0].grain_angle, 0, 1e-12) << name;
}

TEST(CaseReader, InnerSizeAddsTheWalls) {
  const CaseText text(
      "name = \"t\"\nup_to_hz = 500\n[cabinet]\ninner_size = { width = 100, depth = 200, height = 300 }\n"
      "board = { material = \"mdf\", thickness = 20 }\n[cabinet.wall.baffle]\nthickness = 30\n");
  const Structure s = text.read().variants.front();
  EXPECT_LT((s.cabinet->outer - Eigen::Vector3d(0.14, 0.25, 0.34)).norm(), 1e-12);
}

TEST(CaseReader, FreeBoardsOfEveryShape) {
  const CaseText text(R"(name = "boards"
up_to_hz = 2000
[mesh]
fineness = 1.5
degree = 4
[[board]]
name = "plate"
size = [400, 300]
material = "spruce"
thickness = 3
grain_angle_deg = 30
[[board]]
name = "disc"
origin = [0, 0, 500]
diameter = 200
material = "aluminium"
thickness = 2
[[board]]
name = "slanted triangle"
origin = [0, 0, "1 m"]
u = [1, 1, 0]
v = [0, 0, 1]
outline = [[0, 0], [0, 200], [300, 0]]
layers = [{ material = "steel", thickness = 1 }, { material = "butyl-core", thickness = 0.5 }]
[[edge_support]]
on = "plate"
edge = "u low"
kind = "clamped"
[[edge_support]]
on = "disc"
kind = "simply supported hard"
)");
  const CaseFile file = text.read();
  const Structure &s = file.variants.front();
  EXPECT_FALSE(s.cabinet.has_value());
  EXPECT_EQ(file.mesh.degree, 4);
  EXPECT_EQ(file.mesh.fineness, 1.5);
  EXPECT_NEAR(board_of(s, "plate").layers[0].grain_angle, M_PI / 6, 1e-12);
  EXPECT_NEAR(board_of(s, "disc").disc_radius, 0.1, 1e-12);
  const Board &triangle = board_of(s, "slanted triangle");
  EXPECT_NEAR(outline_area(triangle), 0.03, 1e-12);  // turned counter-clockwise
  EXPECT_NEAR(triangle.normal().norm(), 1, 1e-12);
  ASSERT_EQ(s.edge_supports.size(), 2u);
  EXPECT_EQ(s.edge_supports[0].side, int(u_low));
  EXPECT_EQ(s.edge_supports[1].side, -1);
}

TEST(CaseReader, OwnMaterialsBuildOnOthers) {
  const CaseText text(box + R"([material.mdf]
based_on = "mdf"
density_kg_m3 = 700
[material.tapped]
based_on = "mdf"
youngs_modulus_in_plane_gpa = 3.0
[cabinet.wall.back]
material = "tapped"
)");
  const Structure s = text.read().variants.front();
  ASSERT_EQ(s.materials.size(), 2u);
  EXPECT_EQ(s.materials[0].name, "mdf");
  EXPECT_EQ(s.materials[0].density, 700);
  EXPECT_EQ(s.materials[1].density, 700);
  EXPECT_NEAR(1 / s.materials[1].law.inverse()(0, 0), 3.0e9, 10);
}

TEST(CaseReader, VariantsDoWhatTheySay) {
  const CaseText text(box + R"([[cut_out]]
name = "woofer"
on = "baffle"
shape = "round"
centre = [100, 120]
diameter = 120
[[driver]]
cut_out = "woofer"
mass_kg = 1
[[brace]]
name = "b"
kind = "shelf"
normal = "height"
at = 250
[[variant]]
name = "thick"
replace = { cabinet = { board = { thickness = 25 } }, baffle = { thickness = 36 }, woofer = { diameter = 100 } }
[[variant]]
name = "moved"
move = [{ name = "b", at = 300 }, { name = "woofer", centre = [100, 150] }]
[[variant]]
name = "without"
remove = ["b", "woofer driver"]
[[variant]]
name = "laminated"
based_on = "without"
replace = { left = { layers = [{ material = "hdf", thickness = 9 }, { material = "hdf", thickness = 9 }] } }
)");
  const CaseFile file = text.read();
  ASSERT_EQ(file.variants.size(), 5u);
  EXPECT_EQ(file.variants[0].variant_name, "base");
  EXPECT_NEAR(board_of(file.variants[1], "baffle").thickness(), 0.036, 1e-12);
  EXPECT_NEAR(board_of(file.variants[1], "left").thickness(), 0.025, 1e-12);
  EXPECT_NEAR(board_of(file.variants[1], "baffle").cut_outs[0].width, 0.1, 1e-12);
  EXPECT_NEAR(board_of(file.variants[2], "b").origin.z(), 0.018 + 0.3 - 0.009, 1e-12);
  EXPECT_NEAR(board_of(file.variants[2], "baffle").cut_outs[0].centre.y(), 0.15, 1e-12);
  EXPECT_EQ(file.variants[3].boards.size(), 6u);
  EXPECT_TRUE(file.variants[3].rim_masses.empty());
  EXPECT_EQ(file.variants[0].rim_masses.size(), 1u);
  EXPECT_EQ(board_of(file.variants[4], "left").layers.size(), 2u);
  EXPECT_EQ(board_of(file.variants[4], "right").layers.size(), 1u);
  EXPECT_EQ(file.variants[4].boards.size(), 6u);
}

TEST(CaseReader, ReferenceNamesEveryKeyOnce) {
  const std::string text = key_reference_markdown();
  for (const char *key :
       {"`up_to_hz`", "`run_through`", "`rebate_depth`", "`stand_off`", "`centre_of_gravity_behind_face`"})
    EXPECT_NE(text.find(key), std::string::npos) << key;
}

}  // namespace
}  // namespace stillbox
