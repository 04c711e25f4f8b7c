// SPDX-License-Identifier: MIT
// Meshes against the shapes they stand for: volume board by board, closed surface, faces that conform,
// cells that are not turned inside out.
#include <numeric>
#include <random>

#include "tests/mesh/boards.h"
#include "tests/mesh/case_text.h"
#include "tests/mesh/mesh_facts.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

const Material wood = isotropic(3.5e9, 0.25, 750);

TEST(HexMesh, CornersOfEveryKind) {
  for (const Corner corner : {Corner::butt, Corner::mitre, Corner::rebate}) {
    const Structure s = cabinet(0.22, 0.30, 0.38, 0.018, corner, wood);
    SCOPED_TRACE(int(corner));
    expect_good_mesh(s, coarse());
    // All the wood between the outer and the inner box, whoever owns it: closed form.
    const std::vector<double> volume = volumes_of(s).board;
    EXPECT_NEAR(std::accumulate(volume.begin(), volume.end(), 0.0),
                0.22 * 0.30 * 0.38 - (0.22 - 0.036) * (0.30 - 0.036) * (0.38 - 0.036), 1e-12);
    // Walls that face each other weigh the same.
    for (int i : {0, 2, 4}) EXPECT_NEAR(volume[i], volume[i + 1], 1e-12);
  }
}

TEST(HexMesh, MitreGivesEachWallATrapezium) {
  // Between two walls the mitre takes half of the edge strip from each; corners where three walls meet are shared.
  const double W = 0.2, t = 0.02;
  const Structure s = cabinet(W, W, W, t, Corner::mitre, wood);
  const Facts facts = facts_of(s, coarse());
  const double sixth = (W * W * W - std::pow(W - 2 * t, 3)) / 6;
  double sum = 0;
  for (double v : facts.volume) {
    EXPECT_NEAR(v / sixth, 1, 0.02);
    sum += v;
  }
  EXPECT_NEAR(sum / (6 * sixth), 1, 1e-9);
}

// A ring of mitred walls of two layers, unequal in thickness: at the share z of its thickness from the inner face a
// side wall is as long as the inner height and z times both end walls, so each layer's wood follows in closed form.
TEST(HexMesh, LayersMeetLayersInAMitre) {
  std::string joints;
  for (const char *side : {"left", "right"})
    for (const char *end : {"top", "bottom"})
      joints += std::string("[[cabinet.joint]]\nedge = [\"") + side + "\", \"" + end + "\"]\nkind = \"mitre\"\n";
  const CaseText text(R"(name = "ring"
up_to_hz = 1000
[cabinet]
outer_size = { width = 200, depth = 300, height = 260 }
board = { material = "mdf", thickness = 18 }
run_through = ["baffle", "back", "left", "right", "top", "bottom"]
[cabinet.wall.left]
layers = [{ material = "steel", thickness = 3 }, { material = "mdf", thickness = 9 }]
[cabinet.wall.top]
layers = [{ material = "mdf", thickness = 7 }, { material = "steel", thickness = 1 }, { material = "mdf", thickness = 8 }]
)" + joints);
  const Structure s = text.read().variants.front();
  const auto density = [&](const Layer &layer) { return s.materials[layer.material].density; };
  // Along the edges across the ring the walls lie between baffle and back.
  const double deep = 0.300 - 2 * 0.018;
  const auto mass = [&](const Board &wall, double inner, double ends) {
    double sum = 0, z = 0;
    for (const Layer &layer : wall.layers) {
      const double middle = (z + layer.thickness / 2) / wall.thickness();
      sum += density(layer) * layer.thickness * (inner + ends * middle) * deep;
      z += layer.thickness;
    }
    return sum;
  };
  const double height = 0.260 - 0.016 - 0.018, width = 0.200 - 0.012 - 0.018;
  const std::map<std::string, double> expected{{"left", mass(board_of(s, "left"), height, 0.016 + 0.018)},
                                               {"right", mass(board_of(s, "right"), height, 0.016 + 0.018)},
                                               {"top", mass(board_of(s, "top"), width, 0.012 + 0.018)},
                                               {"bottom", mass(board_of(s, "bottom"), width, 0.012 + 0.018)}};
  const Volumes v = volumes_of(s);
  const Facts facts = facts_of(s, coarse()), fine = facts_of(s, coarse(3000, 2));
  for (const auto &[name, kg] : expected) {
    const std::size_t b = &board_of(s, name) - s.boards.data();
    EXPECT_NEAR(v.board_mass[b] / kg, 1, 1e-12) << name;
    EXPECT_NEAR(facts.mass[b] / kg, 1, 1e-9) << name;
    EXPECT_NEAR(fine.mass[b] / kg, 1, 1e-9) << name;
  }
}

TEST(HexMesh, CurvedRimsHoldTheirVolume) {
  Structure s = free_plate(0.3, 0.2, 0.02, wood);
  s.boards[0].cut_outs = {{"round", CutOutShape::round, {0.1, 0.09}, 0.1, 0.1, false},
                          {"slot", CutOutShape::slot, {0.23, 0.1}, 0.04, 0.12, false}};
  const double exact = (0.3 * 0.2 - M_PI * 0.05 * 0.05 - (0.04 * 0.08 + M_PI * 0.02 * 0.02)) * 0.02;
  for (int degree : {2, 3, 4}) {
    SCOPED_TRACE(degree);
    EXPECT_NEAR(facts_of(s, coarse(2500, degree)).volume[0] / exact, 1, degree == 2 ? 1e-4 : 1e-6);
  }
  expect_good_mesh(s, coarse(2500));
}

TEST(HexMesh, DiscHoldsItsVolume) {
  const Structure s = free_disc(0.15, 0.012, wood);
  const Facts facts = facts_of(s, coarse(2000, 3));
  EXPECT_NEAR(facts.volume[0] / (M_PI * 0.15 * 0.15 * 0.012), 1, 1e-5);
  EXPECT_NEAR(facts.surface / (2 * M_PI * 0.15 * (0.15 + 0.012)), 1, 1e-5);
}

TEST(HexMesh, ShelvesAndWindowBraces) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  add_shelf(s, 0.15, 0.015);
  add_shelf(s, 0.25, 0.012, 0.045);
  expect_good_mesh(s, coarse());
  const double a = 0.22 - 0.036, b = 0.30 - 0.036;
  const std::vector<double> volume = volumes_of(s).board;
  EXPECT_NEAR(volume[6], a * b * 0.015, 1e-12);
  EXPECT_NEAR(volume[7], (a * b - (a - 0.09) * (b - 0.09)) * 0.012, 1e-12);
}

TEST(HexMesh, HalfLappedCrossingShelves) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  add_shelf(s, 0.18, 0.016);
  Board upright = make_rectangle("upright", {0.10, 0.018, 0.018}, Eigen::Vector3d::UnitY(), Eigen::Vector3d::UnitZ(),
                                 0.30 - 0.036, 0.38 - 0.036, 0.02, 0);
  upright.role = BoardRole::brace;
  s.boards.push_back(upright);
  s.overlaps.push_back({6, 7, Sharing::half_lap});
  expect_good_mesh(s, coarse());
  const double lap = 0.02 * 0.016 * 0.264, volume = 0.184 * 0.264 * 0.016;
  EXPECT_NEAR(volumes_of(s).board[6], volume - lap / 2, 1e-12);
  s.overlaps.back().sharing = Sharing::first_owns;
  expect_good_mesh(s, coarse());
  EXPECT_NEAR(volumes_of(s).board[6], volume, 1e-12);
  s.overlaps.clear();
  EXPECT_THROW(make_hex_mesh(s, coarse()), MeshError);
}

TEST(HexMesh, ARibOnAWall) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  Board rib = make_rectangle("rib", {0.018, 0.14, 0.06}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitZ(), 0.03, 0.25,
                             0.02, 0);
  rib.role = BoardRole::brace;
  s.boards.push_back(rib);
  expect_good_mesh(s, coarse());
}

// The web between the hole and the glued brace is 5 mm.
TEST(HexMesh, HoleCloseToABrace) {
  for (double up_to : {500.0, 1000.0, 2000.0})
    for (int degree : {2, 3}) {
      SCOPED_TRACE(testing::Message() << up_to << " Hz, degree " << degree);
      Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
      s.boards[baffle].cut_outs = {{"hole", CutOutShape::round, {0.11, 0.20 - 0.005 - 0.07}, 0.14, 0.14, false}};
      add_shelf(s, 0.20, 0.018);
      expect_good_mesh(s, coarse(up_to, degree));
    }
}

TEST(HexMesh, HoleCloseToTheWalls) {
  for (int degree : {2, 3}) {
    SCOPED_TRACE(degree);
    Structure s = cabinet(0.20, 0.30, 0.38, 0.018, Corner::butt, wood);
    // 5 mm from both side walls and from the bottom.
    s.boards[baffle].cut_outs = {{"hole", CutOutShape::round, {0.10, 0.018 + 0.005 + 0.077}, 0.154, 0.154, false}};
    expect_good_mesh(s, coarse(1500, degree));
  }
}

TEST(HexMesh, TwoHolesSixMillimetresApart) {
  for (int degree : {2, 3}) {
    SCOPED_TRACE(degree);
    Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
    s.boards[baffle].cut_outs = {{"low", CutOutShape::round, {0.11, 0.12}, 0.14, 0.14, false},
                                 {"high", CutOutShape::round, {0.11, 0.12 + 0.07 + 0.006 + 0.05}, 0.10, 0.10, false}};
    expect_good_mesh(s, coarse(1500, degree));
  }
}

TEST(HexMesh, SlotsAndRectangles) {
  for (const Corner corner : {Corner::butt, Corner::mitre, Corner::rebate}) {
    SCOPED_TRACE(int(corner));
    Structure s = cabinet(0.22, 0.30, 0.38, 0.018, corner, wood);
    s.boards[baffle].cut_outs = {{"slot", CutOutShape::slot, {0.11, 0.05}, 0.14, 0.03, false},
                                 {"upright", CutOutShape::slot, {0.05, 0.2}, 0.02, 0.15, false}};
    s.boards[back].cut_outs = {{"plate", CutOutShape::rectangle, {0.11, 0.1}, 0.06, 0.05, false},
                               {"high", CutOutShape::rectangle, {0.11, 0.25}, 0.02, 0.12, false}};
    s.boards[left].cut_outs = {{"round", CutOutShape::round, {0.12, 0.2}, 0.1, 0.1, false}};
    s.boards[top].cut_outs = {{"grip", CutOutShape::slot, {0.09, 0.1}, 0.08, 0.025, false}};
    expect_good_mesh(s, coarse(1500));
  }
}

TEST(HexMesh, BoardOfManySizesWithOneHole) {
  // A free board and a hole of a third of its width, whatever the element size asked for.
  for (int degree : {2, 3, 4})
    for (double up_to : {300.0, 1000.0, 3000.0}) {
      SCOPED_TRACE(testing::Message() << up_to << " Hz, degree " << degree);
      Structure s = free_plate(0.3, 0.2, 0.02, wood);
      s.boards[0].cut_outs = {{"hole", CutOutShape::round, {0.1, 0.09}, 0.1, 0.1, false}};
      expect_good_mesh(s, coarse(up_to, degree));
    }
}

TEST(HexMesh, LooseShelfIsAPartOfItsOwn) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  add_shelf(s, 0.18, 0.016);
  s.boards.back().glued.fill(false);
  expect_good_mesh(s, coarse(), 2);
  s.boards.back().glued[u_low] = true;  // one side is enough to hang together
  const Facts facts = facts_of(s, coarse());
  EXPECT_EQ(facts.parts, 1);
  EXPECT_GT(facts.surface, expected_surface(s) * 1.01);
}

TEST(HexMesh, SheetsFollowTheirBoard) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  s.boards[left].cut_outs = {{"round", CutOutShape::round, {0.12, 0.2}, 0.08, 0.08, false}};
  // 3 mm of damping on the inner face of the left wall, with the wall's hole through it.
  const Board &wall = s.boards[left];
  Board sheet = make_rectangle("damping", wall.at(0.03, 0.05, -0.003), wall.u, wall.v, 0.2, 0.25, 0.003, 0);
  sheet.role = BoardRole::sheet;
  sheet.attached_to = left;
  s.boards.push_back(sheet);
  const Facts facts = facts_of(s, coarse());
  EXPECT_GT(facts.least_weight, 0);
  EXPECT_EQ(facts.most_at_face, 2);
  EXPECT_EQ(facts.parts, 1);
  EXPECT_NEAR(facts.volume[6] / ((0.2 * 0.25 - M_PI * 0.04 * 0.04) * 0.003), 1, 1e-4);
  EXPECT_NEAR(facts.volume[6] / volumes_of(s).board[6], 1, 1e-4);
}

TEST(HexMesh, LayersKeepTheirThickness) {
  Structure s = free_plate(0.3, 0.2, 0.01, wood);
  s.materials.push_back(isotropic(1e9, 0.3, 1500));
  s.boards[0].layers = {{0, 0.009, 0}, {1, 0.002, 0}, {0, 0.009, 0}};
  const HexMesh mesh = make_hex_mesh(s, coarse());
  std::vector<double> low(3, 1), high(3, -1);
  for (const HexCell &cell : mesh.cells)
    for (int node : cell.nodes) {
      low[cell.layer] = std::min(low[cell.layer], mesh.nodes[node].z());
      high[cell.layer] = std::max(high[cell.layer], mesh.nodes[node].z());
    }
  const double limits[4] = {0, 0.009, 0.011, 0.02};
  for (int layer = 0; layer < 3; ++layer) {
    EXPECT_NEAR(low[layer], limits[layer], 1e-12);
    EXPECT_NEAR(high[layer], limits[layer + 1], 1e-12);
  }
  EXPECT_NEAR(volumes_of(s).mass, 0.3 * 0.2 * (0.018 * 750 + 0.002 * 1500), 1e-12);
}

// A fixed sequence of cabinets that a designer could draw: three kinds of corners, one to three holes, terminal plate
// and slot, with or without a shelf, webs down to 5 mm.
TEST(HexMesh, FortyRandomCabinets) {
  std::mt19937 engine(7);
  const auto between = [&](double low, double high) { return low + (high - low) * (engine() / 4294967296.0); };
  for (int number = 0; number < 40; ++number) {
    const double t = between(0.012, 0.025), W = between(0.16, 0.40), D = between(0.16, 0.40), H = between(0.25, 0.60);
    const Corner corner = static_cast<Corner>(engine() % 3);
    Structure s = cabinet(W, D, H, t, corner, wood);
    const double web = 0.005, inset = corner == Corner::rebate ? t / 2 : 0;  // of the baffle's own corner
    double z = t + web;
    const int holes = 1 + int(engine() % 3);
    for (int i = 0; i < holes; ++i) {
      const double room = H - t - web - z;
      const double diameter = between(0.03, std::min(W - 2 * t - 2 * web, 0.3));
      if (diameter > room) break;
      const double x = between(t + web + diameter / 2, W - t - web - diameter / 2);
      z += between(0, std::min(room - diameter, 0.05));
      s.boards[baffle].cut_outs.push_back(
          {"hole " + std::to_string(i), CutOutShape::round, {x - inset, z + diameter / 2}, diameter, diameter, false});
      z += diameter + between(web, 0.04);
    }
    const double plate = between(0.02, 0.08);
    s.boards[back].cut_outs = {{"plate", CutOutShape::rectangle, {W / 2 - inset, H * 0.3}, plate, plate * 0.8, false},
                               {"slot", CutOutShape::slot, {W / 2 - inset, H * 0.75}, plate, 0.02, false}};
    if (engine() % 2) {
      // In the first gap that is left between the holes, the plate and the slot, if there is one.
      for (double at = t + 0.05; at < H - t - 0.07; at += 0.007) {
        const auto misses = [&](const CutOut &c) {
          return c.centre.y() + c.height / 2 + web < at || c.centre.y() - c.height / 2 - web > at + t;
        };
        const auto &front = s.boards[baffle].cut_outs, &rear = s.boards[back].cut_outs;
        if (!std::all_of(front.begin(), front.end(), misses) || !std::all_of(rear.begin(), rear.end(), misses))
          continue;
        add_shelf(s, at, t, engine() % 2 ? 0.03 : 0);
        break;
      }
    }
    MeshOptions options = coarse(between(600, 2500), 2 + int(engine() % 2));
    SCOPED_TRACE(testing::Message() << "cabinet " << number << ": " << W << " x " << D << " x " << H << ", t " << t
                                    << ", corner " << int(corner) << ", " << options.up_to << " Hz, degree "
                                    << options.degree << ", boards " << s.boards.size());
    try {
      expect_good_mesh(s, options, 1, 0.02);
    } catch (const std::exception &error) {
      ADD_FAILURE() << error.what();
    }
  }
}

}  // namespace
}  // namespace stillbox
