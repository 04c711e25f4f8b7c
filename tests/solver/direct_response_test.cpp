// SPDX-License-Identifier: MIT
// Modes and residual against the direct complex solution, which knows no modes.
#include "tests/solver/cabinets.h"
#include "tests/solver/compare_direct.h"

namespace stillbox {
namespace {

// A small closed box of 5 mm plastic. The floor is the bound of truncation_floor, with 25 dB between it and the level.
// Where it is closer than that nothing is promised, but most paths agree there too: nine in ten of all.
TEST(DirectResponse, ModesAndResidualAgainstIt) {
  Material plastic = isotropic(3.2e9, 0.35, 1190);
  plastic.loss_factor = 0.04;
  const Structure s = cabinet(0.16, 0.14, 0.22, 0.005, Corner::butt, plastic);
  const Compared c =
      compare_with_direct(s, to(1000, 2, 0.5), 12, {0.05, 0.12, 0.21, 0.33, 0.42, 0.5, 0.58, 0.67, 0.75, 0.85});
  EXPECT_GT(c.clear, c.pairs / 2);
  EXPECT_LE(c.worst, 0.5);
  EXPECT_GT(c.within, 9 * c.pairs / 10);
  // The conjugate pairs lack the loss of modes far off: it shows in dips, at one path in a hundred at most.
  EXPECT_GE(c.ringing_within, 99 * c.clear / 100);
}

// A plate with a very lossy layer on part of its thickness: complex shapes, and two loss factors in one structure.
TEST(DirectResponse, ExactDampingAgainstIt) {
  Structure s = free_plate(0.3, 0.2, 0.004, isotropic(70e9, 0.33, 2700));
  s.materials[0].loss_factor = 0.002;
  s.materials.push_back(isotropic(0.5e9, 0.4, 1500));
  s.materials[1].name = "layer";
  s.materials[1].loss_factor = 0.6;
  s.boards[0].layers.push_back({1, 0.006, 0});
  const Compared c = compare_with_direct(s, to(900, 3, 0.5), 12, {0.1, 0.3, 0.5, 0.7, 0.85});
  EXPECT_GT(c.clear, c.pairs / 2);
  EXPECT_LE(c.worst, 0.5);
}

}  // namespace
}  // namespace stillbox
