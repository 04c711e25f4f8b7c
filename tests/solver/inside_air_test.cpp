// SPDX-License-Identifier: MIT
#include "solver/inside_air.h"

#include "tests/solver/rooms.h"

namespace stillbox {
namespace {

TEST(StandingWaves, OfARigidBox) {
  // C2: f = (c / 2) sqrt((l / Lx)^2 + (m / Ly)^2 + (n / Lz)^2), T.W. Wu (ed.), Boundary Element Acoustics, p. 123 (C1).
  const Structure s = room(0.30, 0.25, 0.40);
  const InsideAir air = solve_inside_air(s, air_to(1000));
  std::vector<double> expected;
  for (int l = 0; l < 8; ++l)
    for (int m = 0; m < 8; ++m)
      for (int n = 0; n < 8; ++n) {
        const double f =
            air.air.speed / 2 * std::sqrt(std::pow(l / 0.30, 2) + std::pow(m / 0.25, 2) + std::pow(n / 0.40, 2));
        if (f < 1500) expected.push_back(f);
      }
  std::sort(expected.begin(), expected.end());
  ASSERT_EQ(air.standing, int(expected.size()));  // none missed
  EXPECT_NEAR(air.frequencies[0], 0, 1e-3);
  double worst = 0, worst_low = 0;
  for (int i = 1; i < air.standing; ++i) {
    const double off = std::abs(air.frequencies[i] / expected[i] - 1);
    worst = std::max(worst, off);
    if (expected[i] < 1000) worst_low = std::max(worst_low, off);
    if (std::getenv("STILLBOX_TELL"))
      std::printf("    %.3f Hz, expected %.3f, off %.4f %%, estimated %.4f %%: %s\n", air.frequencies[i], expected[i],
                  100 * off, 100 * air.errors[i], air.labels[i].c_str());
  }
  EXPECT_LT(worst, 1e-3);
  EXPECT_LT(worst_low, 2e-4);
  EXPECT_NEAR(air.volume, 0.03, 1e-9);
  EXPECT_EQ(air.labels[1], "standing wave top-bottom, 1");
  EXPECT_EQ(air.labels[2], "standing wave left-right, 1");
}

TEST(StandingWaves, OfTwoChambers) {
  Structure s = room(0.2, 0.2, 0.4);
  add_shelf(s, 0.018 + 0.15, 0.018);
  const InsideAir air = solve_inside_air(s, air_to(700));
  EXPECT_EQ(air.chambers, 2);
  EXPECT_NEAR(air.volume, 0.2 * 0.2 * (0.4 - 0.018), 1e-9);
  // The taller chamber, 232 mm, has the lowest wave.
  EXPECT_NEAR(air.frequencies[2], air.air.speed / 2 / 0.232, 0.1);
}

TEST(StandingWaves, NearFieldOfAMouth) {
  for (double r : {0.02, 0.04}) {
    Structure s = room(0.22, 0.26, 0.34);
    add_port(s, 0.11, 0.25, r, 0.018);
    const InsideAir air = solve_inside_air(s, air_to(500));
    double sum = 0;
    for (int i = 1; i < air.frequencies.size(); ++i)
      sum += std::pow(air.openings[0].mean_phi[i] / wave_number(air.air, air.frequencies[i]), 2);
    const double exact = disc_in_box(0.22, 0.34, 0.26, 0.11, 0.25, r), area = M_PI * r * r;
    if (std::getenv("STILLBOX_TELL"))
      std::printf(
          "    r %.3f: %.5f m of end correction, series %.5f, flanged in free space %.5f; %d standing, %ld shapes\n", r,
          sum * area, exact * area, 8 * r / 3 / M_PI, air.standing, long(air.frequencies.size()));
    EXPECT_NEAR(sum / exact, 1, 0.01);
  }
}

// Two chambers joined by a window: f = (c / 2 pi) sqrt(S / L (1/V1 + 1/V2)), L the brace's thickness and an end
// correction on either side, of a disc of the window's area in the end of each chamber (series above).
TEST(StandingWaves, TwoChambersJoinedByAWindow) {
  Structure s = room(0.24, 0.20, 0.40);
  const double t = 0.018, at = 0.19;
  add_shelf(s, 0.018 + at, t);
  const double side = 0.05;
  s.boards.back().cut_outs = {{"window", CutOutShape::rectangle, {0.12, 0.10}, side, side, true}};
  const InsideAir air = solve_inside_air(s, air_to(300));
  const double V1 = 0.24 * 0.20 * at, V2 = 0.24 * 0.20 * (0.40 - at - t), S = side * side;
  const double r = std::sqrt(S / M_PI);
  // Not a piston: 0.8217 r in place of 8 r / (3 pi) (Rayleigh's bound against the exact one; from memory); a square in
  // place of a circle, 0.4732 a against 0.4789 a (potential of an evenly charged square; recomputed).
  const double ends =
      0.8217 / 0.8488 * 0.4732 / 0.4789 *
      (disc_in_box(0.24, 0.20, at, 0.12, 0.10, r) + disc_in_box(0.24, 0.20, 0.40 - at - t, 0.12, 0.10, r));
  const double L = t + S * ends;
  const double formula = air.air.speed / 2 / M_PI * std::sqrt(S / L * (1 / V1 + 1 / V2));
  if (std::getenv("STILLBOX_TELL"))
    std::printf("    %.3f Hz, formula %.3f, estimated error %.3f %%\n", air.frequencies[1], formula,
                100 * air.errors[1]);
  EXPECT_EQ(air.chambers, 1);
  EXPECT_NEAR(air.frequencies[1] / formula, 1, 0.006);
}

}  // namespace
}  // namespace stillbox
