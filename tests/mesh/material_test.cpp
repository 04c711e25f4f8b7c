// SPDX-License-Identifier: MIT
#include "mesh/material.h"

#include <gtest/gtest.h>

#include <cmath>
#include <stdexcept>

#include "mesh/case_file.h"

namespace stillbox {
namespace {

const OrthotropicConstants spruce = {11.88e9, 0.927e9, 0.511e9, 0.372, 0.467, 0.435, 0.760e9, 0.725e9, 0.0356e9};

TEST(Material, IsotropicLawIsTheOneOfLame) {
  const double e = 3.5e9, nu = 0.3, lambda = e * nu / ((1 + nu) * (1 - 2 * nu)), mu = e / (2 * (1 + nu));
  const StressLaw law = isotropic_law(e, nu);
  for (int i = 0; i < 6; ++i)
    for (int j = 0; j < 6; ++j) {
      const double expected = i < 3 && j < 3 ? lambda + (i == j ? 2 * mu : 0) : i == j ? mu : 0;
      EXPECT_NEAR(law(i, j), expected, 1e-6 * e) << i << j;
    }
}

// Which way a law turns: the grain at +30 degrees has the modulus along the grain at +30 degrees, not at -30 (closed
// form: E = 1 / (d . eps . d) for unit stress along d). Frequencies of rectangular boards are the same both ways.
TEST(Material, TheGrainTurnsTheWayOfTheAngle) {
  const double angle = M_PI / 6;
  const StressLaw law = rotate_about_normal(orthotropic_law(spruce), angle);
  const auto modulus_at = [&](double direction) {
    const double c = std::cos(direction), s = std::sin(direction);
    Eigen::Matrix<double, 6, 1> stress;
    stress << c * c, s * s, 0, 0, 0, c * s;
    const Eigen::Matrix<double, 6, 1> strain = law.inverse() * stress;
    return 1 / (c * c * strain[0] + s * s * strain[1] + c * s * strain[5]);
  };
  EXPECT_NEAR(modulus_at(angle) / spruce.e1, 1, 1e-9);
  EXPECT_NEAR(modulus_at(angle + M_PI / 2) / spruce.e2, 1, 1e-9);
  EXPECT_LT(modulus_at(-angle) / spruce.e1, 0.3);
}

TEST(Material, IsotropicLawDoesNotTurn) {
  const StressLaw law = isotropic_law(70e9, 0.33);
  EXPECT_LT((rotate_about_normal(law, 0.7) - law).norm(), 1e-9 * law.norm());
}

TEST(Material, ComplianceHoldsTheConstants) {
  const StressLaw s = orthotropic_law(spruce).inverse();
  EXPECT_NEAR(1 / s(0, 0), spruce.e1, 1);
  EXPECT_NEAR(1 / s(1, 1), spruce.e2, 1);
  EXPECT_NEAR(1 / s(2, 2), spruce.e3, 1);
  EXPECT_NEAR(1 / s(3, 3), spruce.g23, 1);
  EXPECT_NEAR(1 / s(4, 4), spruce.g13, 1);
  EXPECT_NEAR(1 / s(5, 5), spruce.g12, 1);
  EXPECT_NEAR(-s(0, 1) * spruce.e1, spruce.nu12, 1e-9);
  EXPECT_NEAR(-s(1, 0) * spruce.e1, spruce.nu12, 1e-9);
  EXPECT_NEAR(-s(1, 2) * spruce.e2, spruce.nu23, 1e-9);
}

TEST(Material, QuarterTurnSwapsTheAxes) {
  const OrthotropicConstants turned = {spruce.e2,   spruce.e1,   spruce.e3,  spruce.nu12 * spruce.e2 / spruce.e1,
                                       spruce.nu23, spruce.nu13, spruce.g12, spruce.g23,
                                       spruce.g13};
  const StressLaw expected = orthotropic_law(turned);
  EXPECT_LT((rotate_about_normal(orthotropic_law(spruce), M_PI / 2) - expected).norm(), 1e-9 * expected.norm());
}

TEST(Material, ModulusAtAnAngleFollowsTheTurnedCompliance) {
  // 1/E(a) = c^4/E1 + s^4/E2 + (1/G12 - 2 nu12/E1) s^2 c^2, from memory (any text on anisotropic plates).
  for (const double angle : {0.0, 0.3, 0.8, 1.4}) {
    const double c2 = std::pow(std::cos(angle), 2), s2 = std::pow(std::sin(angle), 2);
    const double expected =
        1 / (c2 * c2 / spruce.e1 + s2 * s2 / spruce.e2 + (1 / spruce.g12 - 2 * spruce.nu12 / spruce.e1) * s2 * c2);
    const StressLaw law = rotate_about_normal(orthotropic_law(spruce), angle);
    EXPECT_NEAR(1 / law.inverse()(0, 0), expected, 1e-9 * expected);
  }
}

TEST(Material, TurningKeepsTheInvariants) {
  const StressLaw law = orthotropic_law(spruce);
  Eigen::Matrix3d axes;
  axes = Eigen::AngleAxisd(0.4, Eigen::Vector3d(1, 2, 3).normalized());
  const StressLaw turned = to_world(law, axes);
  // C_iijj and C_ijij summed over i, j do not depend on the axes.
  const auto bulk = [](const StressLaw &c) { return c.topLeftCorner<3, 3>().sum(); };
  const auto shear = [](const StressLaw &c) {
    return c.topLeftCorner<3, 3>().trace() + 2 * c.bottomRightCorner<3, 3>().trace();
  };
  EXPECT_NEAR(bulk(turned), bulk(law), 1e-9 * bulk(law));
  EXPECT_NEAR(shear(turned), shear(law), 1e-9 * shear(law));
  EXPECT_LT((to_world(turned, axes.transpose()) - law).norm(), 1e-9 * law.norm());
  EXPECT_GT((turned - law).norm(), 0.1 * law.norm());
  EXPECT_TRUE(is_positive_definite(turned));
}

TEST(Material, RefusesImpossibleConstants) {
  EXPECT_THROW(isotropic_law(1e9, 0.5), std::domain_error);
  EXPECT_THROW(isotropic_law(1e9, -1), std::domain_error);
  EXPECT_THROW(isotropic_law(-1e9, 0.3), std::domain_error);
  OrthotropicConstants c = spruce;
  c.nu12 = 4;  // above sqrt(E1/E2) = 3.58
  EXPECT_THROW(orthotropic_law(c), std::domain_error);
  c = spruce;
  c.g23 = 0;
  EXPECT_THROW(orthotropic_law(c), std::domain_error);
  StressLaw law = isotropic_law(1e9, 0.3);
  law(0, 1) = law(1, 0) = 2 * law(0, 0);
  EXPECT_FALSE(is_positive_definite(law));
}

TEST(Material, EveryBuiltInMaterialIsSoundAndHasASource) {
  const auto materials = read_materials_list(STILLBOX_SOURCE_DIR "/cases/materials.toml");
  EXPECT_GE(materials.size(), 14u);
  for (const Material &m : materials) {
    EXPECT_TRUE(is_positive_definite(m.law)) << m.name;
    EXPECT_NE(m.source.find("from memory"), std::string::npos) << m.name;
    EXPECT_GT(m.modulus_tolerance, 0) << m.name;
    EXPECT_GT(m.density_tolerance, 0) << m.name;
    EXPECT_GT(m.loss_factor, 0) << m.name;
  }
}

}  // namespace
}  // namespace stillbox
