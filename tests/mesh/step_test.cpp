// SPDX-License-Identifier: MIT
// STEP files written through Gmsh and read back: names, layers, holes, boxes; files that cannot be used.
#include <fstream>

#include "mesh/grid.h"
#include "mesh/solids.h"
#include "mesh/step_file.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/mistakes.h"
#include "tests/mesh/solid_boxes.h"

namespace stillbox {
namespace {

const std::string by_layer = "[solids]\nfile = \"drawn.step\"\n[[solids.layer]]\nname = \"mdf\"\nmaterial = \"mdf\"\n";

/// A case of [solids] beside a STEP file of the solids of `structure`.
struct Drawn {
  CaseText text;
  Drawn(const Structure &s, const std::string &lines) : text(without_cabinet(lines)) {
    write_step(s, (text.folder / "drawn.step").string());
  }
  Structure read() const { return text.read().variants.at(0); }
};

Structure demonstration() {
  return read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", built_in_materials).variants.at(1);
}

TEST(StepSolids, ABoxComesBackAsItsBoards) {
  const Structure native = demonstration();  // with its window brace
  const Drawn drawn(as_solids(native), by_layer + "[[solids.named]]\nname = \"" + native.boards.back().name +
                                           "\"\nmaterial = \"mdf\"\nkind = \"brace\"\n");
  const Structure s = drawn.read();
  EXPECT_FALSE(s.solids);
  ASSERT_EQ(s.boards.size(), native.boards.size());
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    SCOPED_TRACE(native.boards[b].name);
    EXPECT_EQ(s.boards[b].name, native.boards[b].name);
    const auto [low, high] = world_bounds(s.boards[b]);
    const auto [native_low, native_high] = world_bounds(native.boards[b]);
    EXPECT_LT((low - native_low).norm() + (high - native_high).norm(), 1e-9);
    ASSERT_EQ(s.boards[b].cut_outs.size(), native.boards[b].cut_outs.size());
    double area = 0, native_area = 0;
    for (const CutOut &c : s.boards[b].cut_outs) area += cut_out_area(c);
    for (const CutOut &c : native.boards[b].cut_outs) native_area += cut_out_area(c);
    EXPECT_NEAR(area, native_area, 1e-9);
  }
  ASSERT_TRUE(s.cabinet);
  EXPECT_LT((s.cabinet->inner_high - native.cabinet->inner_high).norm(), 1e-9);
  EXPECT_NEAR(volumes_of(s).inner, volumes_of(native).inner, 1e-9);
}

TEST(StepSolids, TetrahedraCanBeAskedForAndKeepNamesAndHoles) {
  const Structure native =
      as_solids(read_case(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml", built_in_materials).variants.at(0));
  std::string lines = by_layer;
  lines.insert(lines.find("[[solids"), "elements = \"tetrahedra\"\n");
  const Structure s = Drawn(native, lines + "[[driver]]\ncut_out = \"baffle hole 1\"\nmass_kg = 1\n").read();
  ASSERT_TRUE(s.solids);
  ASSERT_EQ(s.rim_masses.size(), 1u);
  EXPECT_NEAR(s.boards[0].cut_outs[0].width, 0.145, 1e-9);
  for (std::size_t b = 0; b < s.boards.size(); ++b)
    EXPECT_NEAR(s.solids->board_volume[b] / native.solids->board_volume[b], 1, 1e-9);
}

TEST(StepSolids, ABentBoardKnowsItsAxis) {
  const CaseText shape(
      without_cabinet("[shape]\nfootprint = [[0, 0], [200, 0], [200, 240], [0, 240]]\nwalls = [\"baffle\", "
                      "\"right\", \"back\", \"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 "
                      "}\nwall.right.radius = 300\n"));
  const Structure s = Drawn(shape.read().variants.at(0), by_layer).read();
  ASSERT_TRUE(s.boards[1].bend);
  EXPECT_NEAR(s.boards[1].bend->radius, 0.3, 1e-7);
  EXPECT_FALSE(s.boards[1].bend->hollow);
  EXPECT_NEAR(s.boards[1].thickness(), 0.016, 1e-7);
  EXPECT_GT(s.boards[1].axes_at({0.24, 0.12, 0.15}).col(2).x(), 0.99);
  // Through its thickness MDF is soft: the law follows the bend.
  EXPECT_LT(
      std::abs(s.boards[1].axes_at({0.23, 0.05, 0.15}).col(2).dot(Eigen::Vector3d(0.23, 0.05, 0.15).normalized())) - 1,
      1e-9);
}

TEST(StepSolids, FilesThatCannotBeUsed) {
  const auto refused = [](const CaseText &text, const std::vector<std::string> &parts) {
    try {
      text.read();
      ADD_FAILURE() << "was accepted";
    } catch (const CaseError &error) {
      const std::string what = error.what();
      EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
      for (const std::string &part : parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
    }
  };
  refused(CaseText(without_cabinet(by_layer)), {":4:", "solids.file", "drawn.step", "no such file"});
  const CaseText nonsense(without_cabinet(by_layer));
  std::ofstream(nonsense.folder / "drawn.step") << "not a step file\n";
  refused(nonsense, {"solids.file", "not a STEP file"});

  Structure two;
  two.materials = {Material{}};
  two.materials[0].name = "mdf";
  const auto board = [&](const char *name, double x, double z) {
    two.boards.push_back(
        make_rectangle(name, {x, 0, z}, Eigen::Vector3d::UnitX(), Eigen::Vector3d::UnitY(), 0.3, 0.2, 0.018, 0));
  };
  board("lower", 0, 0);
  board("upper", 0, 0.018);
  EXPECT_EQ(Drawn(as_solids(two), by_layer).read().boards.size(), 2u);
  refused(
      Drawn(as_solids(two), "[solids]\nfile = \"drawn.step\"\n[[solids.named]]\nname = \"upper\"\nmaterial = \"mdf\"\n")
          .text,
      {"solids.named", "nothing for \"lower\" on layer \"mdf\"", "the file holds"});
  refused(Drawn(as_solids(two), by_layer + "[[solids.named]]\nname = \"side\"\nmaterial = \"mdf\"\n").text,
          {"\"side\"", "no solid of this name", "\"upper\""});
  const auto write_apart = [&](double z) {
    two.boards[1].origin.z() = z;
    Solids solids;
    for (int b = 0; b < 2; ++b) solids.bodies.push_back(solid_of(two.boards[std::size_t(b)], b));
    two.solids = std::make_shared<const Solids>(solids);
    return two;
  };
  refused(Drawn(write_apart(0.019), by_layer).text, {"\"upper\" touch", "close the gap"});
  refused(Drawn(write_apart(0.010), by_layer).text, {"same place", "480.0", "cm3"});
}

// OpenCASCADE follows such a reference to nowhere and ends the process; trial_run keeps that in a child.
TEST(StepSolids, ReferencesToNowhereAreRefusedNotFollowed) {
  const std::string whole = bytes_in(STILLBOX_SOURCE_DIR "/cases/drawn-wedge.step");
  for (const char *entity : {" = LINE('',#", " = PLANE('',#", " = ADVANCED_FACE('',(#", " = VECTOR('',#"}) {
    std::string text = whole;
    const std::size_t at = text.find(entity);
    ASSERT_NE(at, std::string::npos);
    text.insert(at + std::string(entity).size(), "9999");
    CaseText place("");
    const std::string path = (place.folder / "damaged.step").string();
    std::ofstream(path, std::ios::binary) << text;
    try {
      load_step_shapes(path);
      // Some are left out by the reader: then there is nothing to refuse.
    } catch (const StepError &error) {
      EXPECT_NE(std::string(error.what()).find("STEP"), std::string::npos) << error.what();
    }
  }
}

}  // namespace
}  // namespace stillbox
