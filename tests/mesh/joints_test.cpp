// SPDX-License-Identifier: MIT
// Edges that are not glued: what a case file says of them, and the meshes they give.
#include <map>
#include <set>

#include "mesh/hex_mesh.h"
#include "tests/mesh/case_text.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

const std::string shelf =
    "[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 180\nthickness = 12\n";

std::string bond(const std::string &name, const std::string &lines) {
  return "[[bond]]\nname = \"" + name + "\"\n" + lines + "\n";
}

Structure base_of(const std::string &text) { return CaseText(text).read().variants.at(0); }

std::set<std::string> partners(const Structure &s, const std::string &board) {
  std::set<std::string> names;
  for (const Bond &b : s.bonds) {
    if (s.boards[b.first].name == board) names.insert(s.boards[b.second].name);
    if (s.boards[b.second].name == board) names.insert(s.boards[b.first].name);
  }
  return names;
}

TEST(Joints, ScrewsAreSpreadOverTheEdge) {
  const Structure s = base_of(box + bond("back edge",
                                         "between = [\"back\", \"top\"]\nkind = \"screwed\"\nspacing = 80\n"
                                         "slip_modulus_n_mm = 2000\nwithdrawal_stiffness_n_mm = 5000"));
  ASSERT_EQ(s.bonds.size(), 1u);
  const Bond &b = s.bonds[0];
  EXPECT_EQ(b.name, "back edge");
  EXPECT_EQ(s.boards[b.first].name, "back");
  EXPECT_EQ(s.boards[b.second].name, "top");
  EXPECT_NEAR(b.shear, 2e6 / 0.08, 1e-3);
  EXPECT_NEAR(b.normal, 5e6 / 0.08, 1e-3);
  EXPECT_EQ(b.loss_factor, 0.03);
}

TEST(Joints, GivenStiffnessIsPerMetreOfEdge) {
  const std::string stiffness = "normal_stiffness_mn_m2 = 8\nshear_stiffness_mn_m2 = 3";
  const Structure s =
      base_of(box + shelf + bond("back edge", "between = [\"back\", \"top\"]\nkind = \"gasketed\"\n" + stiffness) +
              bond("mounting", "between = [\"shelf\", \"left\"]\nkind = \"soft\"\nloss_factor = 0.7\n" + stiffness));
  ASSERT_EQ(s.bonds.size(), 2u);
  for (const Bond &b : s.bonds) {
    EXPECT_EQ(b.normal, 8e6);
    EXPECT_EQ(b.shear, 3e6);
    EXPECT_FALSE(b.is_loose());
  }
  EXPECT_EQ(s.bonds[0].loss_factor, 0.2);
  EXPECT_EQ(s.bonds[1].loss_factor, 0.7);
}

TEST(Joints, GluedAddsNothingAndLooseHoldsNothing) {
  EXPECT_TRUE(base_of(box + bond("b", "between = [\"back\", \"top\"]")).bonds.empty());
  const Structure s = base_of(box + bond("b", "between = [\"back\", \"top\"]\nkind = \"loose\""));
  ASSERT_EQ(s.bonds.size(), 1u);
  EXPECT_TRUE(s.bonds[0].is_loose());
}

TEST(Joints, AllEdgesOfABoard) {
  const std::string soft = "kind = \"soft\"\nnormal_stiffness_mn_m2 = 8\nshear_stiffness_mn_m2 = 3\nloss_factor = 0.5";
  const Structure s = base_of(box + shelf + bond("b", "of = \"shelf\"\n" + soft));
  EXPECT_EQ(partners(s, "shelf"), (std::set<std::string>{"baffle", "back", "left", "right"}));
  // A side that is not glued is none of its edges.
  const Structure two = base_of(box + shelf + "glued = [\"left\", \"right\"]\n" + bond("b", "of = \"shelf\"\n" + soft));
  EXPECT_EQ(partners(two, "shelf"), (std::set<std::string>{"left", "right"}));
  // A sheet is none of the boards that it touches.
  const Structure sheet =
      base_of(box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\n" + shelf +
              bond("b", "of = \"shelf\"\n" + soft));
  EXPECT_EQ(partners(sheet, "shelf"), (std::set<std::string>{"baffle", "back", "left", "right"}));
}

TEST(Joints, VariantsAddChangeAndRemoveThem) {
  const CaseText file(box + shelf + bond("b", "between = [\"back\", \"top\"]\nkind = \"screwed\"\nspacing = 100") +
                      bond("s", "of = \"shelf\"\nkind = \"loose\"") +
                      "[[variant]]\nname = \"closer\"\nreplace = { b = { spacing = 50 } }\n"
                      "[[variant]]\nname = \"gasket\"\nreplace = { b = { kind = \"gasketed\", "
                      "normal_stiffness_mn_m2 = 8, shear_stiffness_mn_m2 = 3 }, s = { kind = \"glued\" } }\n"
                      "[[variant]]\nname = \"glued\"\nremove = [\"b\", \"s\"]\n"
                      "[[variant]]\nname = \"bare\"\nremove = [\"shelf\"]\n"
                      "[[variant]]\nname = \"more\"\nadd = { bond = [{ name = \"c\", between = [\"left\", \"top\"], "
                      "kind = \"screwed\", spacing = 100 }] }\n");
  const auto v = file.read().variants;
  ASSERT_EQ(v.size(), 6u);
  ASSERT_EQ(v[0].bonds.size(), 5u);
  ASSERT_EQ(v[1].bonds.size(), 5u);
  EXPECT_NEAR(v[1].bonds[0].shear / v[0].bonds[0].shear, 2, 1e-12);
  ASSERT_EQ(v[2].bonds.size(), 1u);  // another kind: the old springs are forgotten
  EXPECT_EQ(v[2].bonds[0].normal, 8e6);
  EXPECT_TRUE(v[3].bonds.empty());
  ASSERT_EQ(v[4].bonds.size(), 1u);  // those of the shelf went with it
  EXPECT_EQ(v[4].bonds[0].name, "b");
  EXPECT_EQ(v[5].bonds.size(), 6u);
}

struct Interface {
  double area = 0, least_width = 1e9, most_width = 0;
  int shared = 0;  ///< nodes that belong to both sides
};

/// Faces of one bond; checks that the two sides match and belong to the right boards.
Interface interface_of(const Structure &s, const HexMesh &mesh, int bond) {
  Interface result;
  for (const BondFace &f : mesh.bond_faces) {
    if (f.bond != bond) continue;
    const HexCell &cell_a = mesh.cells[f.cell_a], &cell_b = mesh.cells[f.cell_b];
    EXPECT_TRUE(cell_a.board == s.bonds[bond].first || cell_a.mate == s.bonds[bond].first);
    EXPECT_TRUE(cell_b.board == s.bonds[bond].second || cell_b.mate == s.bonds[bond].second);
    Eigen::Vector3d low = mesh.nodes[f.nodes_a[0]], high = low;
    for (int i = 0; i < 4; ++i) {
      EXPECT_EQ(mesh.nodes[f.nodes_a[i]], mesh.nodes[f.nodes_b[i]]);
      const auto &a = cell_a.nodes, &b = cell_b.nodes;
      EXPECT_NE(std::find(a.begin(), a.end(), f.nodes_a[i]), a.end());
      EXPECT_NE(std::find(b.begin(), b.end(), f.nodes_b[i]), b.end());
      result.shared += f.nodes_a[i] == f.nodes_b[i];
      low = low.cwiseMin(mesh.nodes[f.nodes_a[i]]);
      high = high.cwiseMax(mesh.nodes[f.nodes_a[i]]);
    }
    const Eigen::Vector3d e = high - low;  // bricks: one extent is nothing
    result.area += e.x() * e.y() + e.y() * e.z() + e.z() * e.x();
    result.least_width = std::min(result.least_width, f.width);
    result.most_width = std::max(result.most_width, f.width);
  }
  return result;
}

const Material wood = isotropic(3.5e9, 0.25, 750);
const MeshOptions coarse{900, 1, 2, 0.6};

TEST(Joints, TheContactFaceIsCoveredOnce) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  add_shelf(s, 0.18, 0.012);
  const std::size_t glued_nodes = make_hex_mesh(s, coarse).nodes.size();
  // The left wall ends at the back; the shelf's edge stands on it.
  s.bonds = {{"back", back, left, 1e7, 1e7, 0}, {"shelf", 6, left, 1e7, 1e7, 0}};
  const HexMesh mesh = make_hex_mesh(s, coarse);
  EXPECT_GT(mesh.nodes.size(), glued_nodes);
  const Interface edge = interface_of(s, mesh, 0), foot = interface_of(s, mesh, 1);
  EXPECT_NEAR(edge.area, 0.018 * 0.38, 1e-9);
  EXPECT_NEAR(edge.least_width, 0.018, 1e-9);
  EXPECT_NEAR(edge.most_width, 0.018, 1e-9);
  EXPECT_NEAR(foot.area, 0.012 * (0.30 - 0.036), 1e-9);
  EXPECT_NEAR(foot.most_width, 0.012, 1e-9);
  // The top and the bottom are glued to both walls, the shelf to the back: there the nodes stay one.
  EXPECT_GT(edge.shared, 0);
}

// Two blocks in one edge: the first keeps 21 mm off the baffle and 18 mm off the bottom, and leaves of the second 9 mm
// x 9 mm beyond it, which no longer reaches the baffle.
const std::string two_blocks =
    "[[brace]]\nname = \"first\"\nkind = \"corner block\"\nedge = [\"baffle\", \"bottom\"]\nsection = [21, 18]\n"
    "[[brace]]\nname = \"second\"\nkind = \"corner block\"\nedge = [\"bottom\", \"baffle\"]\nsection = [9, 30]\n";

TEST(Joints, AnEdgeThatAnotherBoardTakesIsNone) {
  const std::string soft = "kind = \"soft\"\nnormal_stiffness_mn_m2 = 8\nshear_stiffness_mn_m2 = 3\nloss_factor = 0.5";
  const Structure s = base_of(box + two_blocks + bond("b", "of = \"second\"\n" + soft));
  EXPECT_EQ(partners(s, "second"), (std::set<std::string>{"first", "bottom", "left", "right"}));
  const HexMesh mesh = make_hex_mesh(s, coarse);
  for (std::size_t b = 0; b < s.bonds.size(); ++b) {
    const std::string &other = s.boards[s.bonds[b].first == 7 ? s.bonds[b].second : s.bonds[b].first].name;
    const double length = other == "first" || other == "bottom" ? 0.164 : 0.009;
    EXPECT_NEAR(interface_of(s, mesh, int(b)).area, length * 0.009, 1e-9) << other;
  }
}

// In a rebate the contact face is folded: shoulder and side of the rebate count together.
TEST(Joints, ARebateIsOneFoldedFace) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::rebate, wood);
  s.bonds = {{"back", back, left, 1e7, 1e7, 0}};
  const Interface edge = interface_of(s, make_hex_mesh(s, coarse), 0);
  EXPECT_NEAR(edge.area, (0.009 + 0.018) * 0.38, 1e-9);
  EXPECT_NEAR(edge.least_width, 0.027, 1e-9);
  EXPECT_NEAR(edge.most_width, 0.027, 1e-9);
}

int parts_of(const HexMesh &mesh) {
  std::vector<int> parent(mesh.nodes.size());
  for (std::size_t i = 0; i < parent.size(); ++i) parent[i] = int(i);
  const auto root = [&](int i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
  };
  for (const HexCell &cell : mesh.cells)
    for (int node : cell.nodes) parent[root(node)] = root(cell.nodes[0]);
  int parts = 0;
  for (std::size_t i = 0; i < parent.size(); ++i) parts += root(int(i)) == int(i);
  return parts;
}

// Sheets on both sides of a bonded edge touch each other and the other wall; they must not glue what the bond parts.
TEST(Joints, SheetsDoNotBridgeABond) {
  const std::string sheets =
      "[[sheet]]\nname = \"s\"\non = [\"left\", \"back\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\n";
  std::string bonds;
  for (const char *wall : {"left", "right", "top", "bottom"})
    bonds += bond(std::string("edge of ") + wall,
                  std::string("between = [\"back\", \"") + wall + "\"]\nkind = \"screwed\"\nspacing = 100");
  EXPECT_EQ(parts_of(make_hex_mesh(base_of(box + sheets), coarse)), 1);
  const Structure s = base_of(box + sheets + bonds);
  ASSERT_EQ(s.bonds.size(), 4u);
  const HexMesh mesh = make_hex_mesh(s, coarse);
  EXPECT_EQ(parts_of(mesh), 2);
  for (int b = 0; b < 4; ++b) {
    const Interface edge = interface_of(s, mesh, b);
    EXPECT_EQ(edge.shared, 0);
    EXPECT_NEAR(edge.most_width, 0.018, 1e-9);
  }
}

// A removable back screwed on a frame of mitred walls: the mitred corners are screwed too, each once.
TEST(Joints, ABackOnMitredWalls) {
  std::string joints;
  for (const char *side : {"left", "right"})
    for (const char *end : {"top", "bottom"})
      joints += std::string("[[cabinet.joint]]\nedge = [\"") + side + "\", \"" + end + "\"]\nkind = \"mitre\"\n";
  const Structure s = base_of(box + joints + bond("lid", "of = \"back\"\nkind = \"screwed\"\nspacing = 100"));
  ASSERT_EQ(s.bonds.size(), 4u);
  const HexMesh mesh = make_hex_mesh(s, coarse);
  EXPECT_EQ(parts_of(mesh), 2);
  double area = 0;
  for (int b = 0; b < 4; ++b) {
    const Interface edge = interface_of(s, mesh, b);
    area += edge.area;
    EXPECT_NEAR(edge.least_width, 0.018, 1e-9);
    EXPECT_NEAR(edge.most_width, 0.018, 1e-9);
  }
  EXPECT_NEAR(area, 0.2 * 0.4 - 0.164 * 0.364, 1e-9);
}

// Where a cut-out makes the mesher leave its bricks the bonded edge still matches.
TEST(Joints, ABondBesideACutOut) {
  Structure s = stand_mount(wood);
  for (int wall : {left, right, top, bottom}) s.bonds.push_back({"baffle", baffle, wall, 1e7, 1e7, 0});
  const HexMesh mesh = make_hex_mesh(s, coarse);
  double area = 0;
  for (int b = 0; b < 4; ++b) area += interface_of(s, mesh, b).area;
  EXPECT_NEAR(area, 0.22 * 0.38 - 0.184 * 0.344, 1e-9);
}

TEST(Joints, ABondThatFindsNoContactIsRefused) {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, wood);
  s.bonds = {{"nowhere", left, right, 1e7, 1e7, 0}};
  try {
    make_hex_mesh(s, coarse);
    ADD_FAILURE() << "was meshed";
  } catch (const MeshError &error) {
    EXPECT_NE(std::string(error.what()).find("nowhere"), std::string::npos) << error.what();
  }
}

}  // namespace
}  // namespace stillbox
