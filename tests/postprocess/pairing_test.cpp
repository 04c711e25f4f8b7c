// SPDX-License-Identifier: MIT
#include "postprocess/pairing.h"

#include <gtest/gtest.h>

#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

using test::add_shape;
using test::make_cabinet;
using test::make_face;

TEST(Pairing, SameModesPairWithThemselves) {
  const ModalResult base = make_cabinet("base", {300, 500, 800});
  const Pairing pairing = pair_modes(base, base);
  EXPECT_EQ(pairing.partner, (std::vector<int>{0, 1, 2}));
  for (const double mac : pairing.mac) EXPECT_NEAR(mac, 1, 1e-12);
}

TEST(Pairing, OrderSignAndScaleDoNotMatter) {
  const ModalResult base = make_cabinet("base", {300, 500, 800});
  ModalResult other = base;
  for (FaceSamples &face : other.faces) {
    face.normal = {-2 * face.normal[2], 0.5 * face.normal[0], -face.normal[1]};
  }
  const Pairing pairing = pair_modes(base, other);
  EXPECT_EQ(pairing.partner, (std::vector<int>{1, 2, 0}));
  for (const double mac : pairing.mac) EXPECT_NEAR(mac, 1, 1e-12);
}

TEST(Pairing, ExtraModeStaysAlone) {
  const ModalResult base = make_cabinet("base", {300, 500});
  const ModalResult other = make_cabinet("other", {310, 520, 900});
  const Pairing pairing = pair_modes(base, other);
  EXPECT_EQ(pairing.partner, (std::vector<int>{0, 1}));
  EXPECT_EQ(base_mode_of(pairing, 3), (std::vector<int>{0, 1, -1}));
  EXPECT_EQ(pair_modes(other, base).partner, (std::vector<int>{0, 1, -1}));
}

TEST(Pairing, PointsThatOneOfThemLacksAreLeftOut) {
  const ModalResult base = make_cabinet("base", {300, 500});
  ModalResult other = base;
  for (FaceSamples &face : other.faces) {
    test::drill(face, 0.5 * face.size[0], 0.5 * face.size[1], 0.05);
    for (std::size_t p = 0; p < face.present.size(); ++p) {
      if (face.present[p]) continue;
      for (Eigen::VectorXd &shape : face.normal) shape[static_cast<Eigen::Index>(p)] = 1e6;  // not to be used
    }
  }
  const Pairing pairing = pair_modes(base, other);
  EXPECT_EQ(pairing.partner, (std::vector<int>{0, 1}));
  EXPECT_NEAR(pairing.mac[0], 1, 1e-12);
}

// Half of the area moves alike, the other half is at rest in one of the two: MAC = 1/2 with the trapezoid weights.
TEST(Pairing, WeighsByShareOfArea) {
  ModalResult base, other;
  for (ModalResult *result : {&base, &other}) {
    result->modes.push_back(test::make_mode(100, ""));
    result->faces = {make_face("a", "free", 0.4, 0.3, 5, 5), make_face("b", "free", 0.4, 0.3, 21, 9)};
  }
  add_shape(base.faces[0], [](double, double) { return 1.0; });
  add_shape(base.faces[1], [](double, double) { return 1.0; });
  add_shape(other.faces[0], [](double, double) { return 1.0; });
  add_shape(other.faces[1], [](double, double) { return 0.0; });
  EXPECT_NEAR(assurance_matrix(base, other)(0, 0), 0.5, 1e-12);
  EXPECT_EQ(pair_modes(base, other, 0.4).partner[0], 0);
  EXPECT_EQ(pair_modes(base, other, 0.6).partner[0], -1);
  EXPECT_EQ(pair_modes(base, other, 0.6).mac[0], 0);
}

TEST(Pairing, BracesDoNotCountBesideWallsButServeAlone) {
  ModalResult base = make_cabinet("base", {300});
  base.faces.push_back(make_face("shelf", "brace", 0.2, 0.2, 9, 9));
  add_shape(base.faces.back(), [](double, double) { return 1.0; });
  ModalResult other = base;
  other.faces.back().normal[0] *= 100;
  EXPECT_NEAR(pair_modes(base, other).mac[0], 1, 1e-12);

  base.faces.erase(base.faces.begin(), base.faces.end() - 1);
  other.faces.erase(other.faces.begin(), other.faces.end() - 1);
  EXPECT_EQ(pair_modes(base, other).partner[0], 0);
}

TEST(Pairing, NothingInCommonPairsNothing) {
  const ModalResult base = make_cabinet("base", {300});
  ModalResult other = base;
  for (FaceSamples &face : other.faces) face.board += " 2";
  EXPECT_EQ(pair_modes(base, other).partner[0], -1);
  other = base;
  for (FaceSamples &face : other.faces) face.normal[0].setZero();
  EXPECT_EQ(pair_modes(base, other).partner[0], -1);
}

TEST(Pairing, BestMatchGoesFirst) {
  Eigen::MatrixXd mac(2, 2);
  mac << 0.7, 0.5, 0.9, 0.1;
  const Pairing pairing = pair_modes(mac, 0.4);
  EXPECT_EQ(pairing.partner, (std::vector<int>{1, 0}));
  EXPECT_DOUBLE_EQ(pairing.mac[0], 0.5);
}

TEST(Pairing, BaseIsPairedWithItself) {
  const auto pairings = pair_with_base({make_cabinet("a", {300, 500}), make_cabinet("b", {350})});
  ASSERT_EQ(pairings.size(), 2u);
  EXPECT_EQ(pairings[0].partner, (std::vector<int>{0, 1}));
  EXPECT_EQ(pairings[1].partner, (std::vector<int>{0, -1}));
}

}  // namespace
}  // namespace stillbox
