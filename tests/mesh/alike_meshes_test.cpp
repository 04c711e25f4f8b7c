// SPDX-License-Identifier: MIT
#include "mesh/alike_meshes.h"

#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

Structure with_brace(double height) {
  Structure s = cabinet(0.22, 0.2, 0.32, 0.015, Corner::butt, isotropic(3.5e9, 0.3, 750));
  s.boards[baffle].cut_outs = {{"hole", CutOutShape::round, {0.11, 0.08}, 0.09, 0.09, false}};
  add_shelf(s, height, 0.015, 0.04);
  return s;
}

TEST(AlikeMeshes, HaveTheSameCellsAndOnlyNodesMove) {
  const Structure a = with_brace(0.15), b = with_brace(0.2);
  const std::vector<HexMesh> meshes = make_alike_meshes({&a, &b}, MeshOptions{800, 0.5, 3, 0.6});
  ASSERT_EQ(meshes.size(), 2u);
  ASSERT_EQ(meshes[0].cells.size(), meshes[1].cells.size());
  for (std::size_t c = 0; c < meshes[0].cells.size(); ++c) {
    EXPECT_EQ(meshes[0].cells[c].nodes, meshes[1].cells[c].nodes);
    EXPECT_EQ(meshes[0].cells[c].board, meshes[1].cells[c].board);
  }
  double moved = 0;
  for (std::size_t n = 0; n < meshes[0].nodes.size(); ++n)
    moved = std::max(moved, (meshes[0].nodes[n] - meshes[1].nodes[n]).norm());
  EXPECT_NEAR(moved, 0.05, 1e-9);  // the brace's own nodes move as it does
  // The hole stays round and where it was.
  for (const HexMesh &mesh : meshes) {
    ASSERT_FALSE(mesh.rim_faces.empty());
    for (const RimFace &face : mesh.rim_faces)
      if (face.board == baffle)
        for (int node : face.nodes) {
          const Eigen::Vector3d r = mesh.nodes[node] - Eigen::Vector3d(0.11, 0, 0.08);
          EXPECT_NEAR(std::hypot(r.x(), r.z()), 0.045, 1e-9);
        }
  }
}

TEST(AlikeMeshes, AxisMapIsLinearBetweenFaces) {
  const Structure a = with_brace(0.15), b = with_brace(0.2);
  const auto maps = axis_maps(a, b);
  ASSERT_TRUE(maps);
  EXPECT_NEAR((*maps)[0](0.1), 0.1, 1e-12);
  EXPECT_NEAR((*maps)[2](0.15), 0.2, 1e-12);
  EXPECT_NEAR((*maps)[2](0.0825), 0.1075, 1e-12);  // half-way between bottom and brace
}

TEST(AlikeMeshes, OtherContactsAreRefused) {
  const Structure a = with_brace(0.15);
  Structure b = with_brace(0.2);
  b.boards.back().glued[u_low] = false;
  EXPECT_FALSE(axis_maps(a, b));
  EXPECT_THROW(make_alike_meshes({&a, &b}, MeshOptions{800, 0.5, 3, 0.6}), MeshError);
  Structure two = with_brace(0.15);
  add_shelf(two, 0.25, 0.015);
  Structure crossed = with_brace(0.27);
  add_shelf(crossed, 0.25, 0.015);
  EXPECT_FALSE(axis_maps(two, crossed));  // one brace has passed the other
}

}  // namespace
}  // namespace stillbox
