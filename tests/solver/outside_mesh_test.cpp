// SPDX-License-Identifier: MIT
#include "solver/outside_mesh.h"

#include <gtest/gtest.h>

#include "mesh/case_file.h"
#include "solver/outside_elements.h"
#include "tests/solver/cabinets.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;

Structure with_cut_outs() {
  Structure s = cabinet(0.22, 0.30, 0.38, 0.018, Corner::butt, isotropic(3.5e9, 0.25, 750));
  s.boards[baffle].cut_outs = {{"round", CutOutShape::round, {0.11, 0.12}, 0.145, 0.145, false},
                               {"slot", CutOutShape::slot, {0.11, 0.30}, 0.12, 0.03, false}};
  s.boards[back].cut_outs = {{"rectangle", CutOutShape::rectangle, {0.11, 0.1}, 0.063, 0.051, false},
                             {"upright", CutOutShape::slot, {0.05, 0.25}, 0.04, 0.1, false}};
  return s;
}

TEST(OutsideMesh, SphereClosesAndConvergesToTheSphere) {
  double before = 1;
  for (int n : {4, 8, 16}) {
    const SurfaceMesh m = sphere_surface(0.5, n);
    EXPECT_EQ(int(m.elements.size()), 6 * n * n);
    EXPECT_TRUE(is_closed(m));
    const double error = 1 - enclosed_volume(m) / (4 * pi / 3 * 0.125);
    EXPECT_GT(error, 0);
    EXPECT_LT(error, before / 3.5);  // second order
    before = error;
    EXPECT_NEAR(m.areas.sum(), pi, pi * error);
    for (int i = 0; i < int(m.elements.size()); ++i) EXPECT_GT(m.normals.row(i).dot(m.centres.row(i)), 0.4);
  }
  EXPECT_LT(before, 0.005);
}

TEST(OutsideMesh, BoxHasItsWallsOutwards) {
  const Eigen::Vector3d outer(0.2, 0.3, 0.5);
  const SurfaceMesh m = box_surface(outer, 0.06);
  EXPECT_TRUE(is_closed(m));
  EXPECT_NEAR(enclosed_volume(m), 0.03, 1e-12);
  const Eigen::Vector3d outwards[6] = {{0, -1, 0}, {0, 1, 0}, {-1, 0, 0}, {1, 0, 0}, {0, 0, 1}, {0, 0, -1}};
  const double area[6] = {0.1, 0.1, 0.15, 0.15, 0.06, 0.06};
  double sum[6] = {};
  for (int i = 0; i < int(m.elements.size()); ++i) {
    EXPECT_NEAR((m.normals.row(i).transpose() - outwards[m.wall[i]]).norm(), 0, 1e-12);
    EXPECT_LE(m.sizes[i], 0.06 * std::sqrt(2.0) * (1 + 1e-9));
    sum[m.wall[i]] += m.areas[i];
  }
  for (int w = 0; w < 6; ++w) EXPECT_NEAR(sum[w], area[w], 1e-12);
}

TEST(OutsideMesh, AMissingElementOpensIt) {
  SurfaceMesh m = box_surface({0.2, 0.3, 0.5}, 0.1);
  m.elements.pop_back();
  EXPECT_FALSE(is_closed(m));
  SurfaceMesh inside_out = box_surface({0.2, 0.3, 0.5}, 0.1);
  for (auto &e : inside_out.elements) std::swap(e[1], e[3]);
  EXPECT_TRUE(is_closed(inside_out));
  EXPECT_LT(enclosed_volume(inside_out), 0);
}

TEST(OutsideMesh, CabinetKnowsItsCutOuts) {
  const Structure s = with_cut_outs();
  const SurfaceMesh m = cabinet_surface(s, {}, 2000);
  EXPECT_TRUE(is_closed(m));
  EXPECT_LE(int(m.elements.size()), most_outside_elements);
  EXPECT_NEAR(enclosed_volume(m), 0.22 * 0.30 * 0.38, 1e-12);
  EXPECT_LE(m.sizes.maxCoeff() / std::sqrt(2.0), 343.2 / 2000 / 9 * 1.0001);
  for (int wall : {int(baffle), int(back)})
    for (int c : {0, 1}) {
      const CutOut &cut_out = s.boards[wall].cut_outs[c];
      const Eigen::VectorXd share = cut_out_shares(m, s, wall, c);
      EXPECT_NEAR(share.dot(m.areas), cut_out_area(cut_out), 1e-9) << cut_out.name;
      EXPECT_GE(share.minCoeff(), 0);
      EXPECT_LE(share.maxCoeff(), 1.001) << cut_out.name;
      // By centres an element is in or out as a whole: wrong by no more than the elements that the rim runs through.
      double by_centre = 0, on_rim = 0;
      for (int i = 0; i < int(m.elements.size()); ++i) {
        const bool is_in = m.wall[i] == wall && m.cut_out[i] == c;
        if (is_in) by_centre += m.areas[i];
        if (m.wall[i] != wall) {
          EXPECT_EQ(share[i], 0);
        }
        if (share[i] < 1e-6) {
          EXPECT_FALSE(is_in) << cut_out.name;
        } else if (share[i] > 0.999) {
          EXPECT_TRUE(is_in) << cut_out.name;
        } else {
          on_rim += m.areas[i];
        }
      }
      EXPECT_GT(by_centre, 0) << cut_out.name;
      EXPECT_LE(std::abs(by_centre - cut_out_area(cut_out)), on_rim) << cut_out.name;
      // The shares lie around the cut-out's own middle.
      const Board &board = s.boards[wall];
      const Eigen::Vector3d middle = m.centres.transpose() * share.cwiseProduct(m.areas) / share.dot(m.areas);
      EXPECT_LT((middle - board.at(cut_out.centre.x(), cut_out.centre.y(), board.thickness())).norm(), 0.004);
    }
}

TEST(OutsideMesh, TooHighAFrequencyNamesTheHighest) {
  const Structure s = with_cut_outs();
  try {
    cabinet_surface(s, {}, 20000);
    FAIL() << "20 kHz takes far more than 3000 elements";
  } catch (const CaseError &error) {
    const std::string text = error.what();
    EXPECT_NE(text.find("up_to_hz: value 20000"), std::string::npos) << text;
    const auto at = text.find("up to ");
    ASSERT_NE(at, std::string::npos) << text;
    const double highest = std::stod(text.substr(at + 6));
    EXPECT_GT(highest, 2500);
    EXPECT_LE(int(cabinet_surface(s, {}, highest).elements.size()), most_outside_elements);
    EXPECT_THROW(cabinet_surface(s, {}, highest * 1.05), CaseError);
  }
}

TEST(OutsideMesh, NoCabinetIsRefused) {
  Structure s;
  s.case_name = "strip";
  EXPECT_THROW(cabinet_surface(s, {}, 1000), CaseError);
}

// The static integral of dG0/dny over a closed surface is -1 inside and 0 outside (solid angle over -4 pi). Points at a
// tenth of an element's side from the surface try the subdivision.
TEST(OutsideMesh, SolidAngleOfAClosedSurface) {
  const SurfaceMesh m = box_surface({0.2, 0.3, 0.5}, 0.05);
  const ElementIntegrator integrator(m, 7);
  for (const auto &[x, inside] : std::vector<std::pair<Eigen::Vector3d, bool>>{{{0.1, 0.15, 0.2}, true},
                                                                               {{0.1, 0.295, 0.21}, true},
                                                                               {{0.013, 0.305, 0.21}, false},
                                                                               {{0.205, 0.305, 0.333}, false},
                                                                               {{1, 2, 3}, false}}) {
    double sum = 0;
    for (int e = 0; e < int(m.elements.size()); ++e) sum += integrator.from(x, e).static_double;
    EXPECT_NEAR(sum, inside ? -1 : 0, 2e-4);
  }
}

// The potential of a square of the side 2 h in its middle: integral of 1/r = 8 h ln(1 + sqrt 2) (elementary).
TEST(OutsideMesh, PotentialInTheMiddleOfASquare) {
  const SurfaceMesh m = box_surface({0.2, 0.2, 0.2}, 0.05);
  const ElementIntegrals own = ElementIntegrator(m, 1e-6).from_own_middle(5);
  EXPECT_NEAR(own.single.real() * 4 * pi, 8 * 0.025 * std::log(1 + std::sqrt(2.0)), 1e-6);
  EXPECT_NEAR(std::abs(own.doubled), 0, 1e-12);
}

}  // namespace
}  // namespace stillbox
