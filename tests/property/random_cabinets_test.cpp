// SPDX-License-Identifier: MIT
// Random cabinets: each is solved with its checks passed, or refused with a reason. Hundreds of them:
// stillbox_random_cabinets.
#include "tests/property/random_cabinets.h"

#include <gtest/gtest.h>

#include "tests/fuzz/guarded.h"

namespace stillbox {
namespace {

TEST(RandomCabinets, AreSolvedSoundlyOrRefusedWithAReason) {
  constexpr std::size_t count = 8;
  for (const GuardFinding &f :
       run_guarded(count, [](std::size_t i) { return try_cabinet(random_cabinet(1, i, true)).complaint; },
                   {20, std::size_t(1) << 30}))
    ADD_FAILURE() << "seed 1, number " << f.number << ": " << f.what << "\nstillbox_random_cabinets --show " << f.number
                  << " prints its case file";
}

TEST(RandomCabinets, TheSameNumberGivesTheSameCabinet) {
  EXPECT_EQ(random_cabinet(5, 7), random_cabinet(5, 7));
  EXPECT_NE(random_cabinet(5, 7), random_cabinet(5, 8));
  EXPECT_NE(random_cabinet(5, 7), random_cabinet(6, 7));
}

}  // namespace
}  // namespace stillbox
