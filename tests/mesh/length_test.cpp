// SPDX-License-Identifier: MIT
#include "mesh/length.h"

#include <gtest/gtest.h>

namespace stillbox {
namespace {

TEST(Length, ReadsEveryUnit) {
  const std::pair<const char *, double> cases[] = {
      {"18 mm", 0.018},       {"18mm", 0.018},        {"1.8 cm", 0.018},    {"0.3 m", 0.3},        {"1 in", 0.0254},
      {"3/4 in", 0.01905},    {"1 1/2 in", 0.0381},   {"0.75 in", 0.01905}, {"-5 mm", -0.005},     {"+5 mm", 0.005},
      {"  18   mm  ", 0.018}, {"-1 1/2 in", -0.0381}, {"1/2 mm", 0.0005},   {"3 / 4 in", 0.01905}, {"0 mm", 0},
  };
  for (const auto &[text, metres] : cases) {
    const auto value = parse_length(text);
    ASSERT_TRUE(value.has_value()) << text;
    EXPECT_NEAR(*value, metres, 1e-15) << text;
  }
}

TEST(Length, RefusesWhatIsNoLength) {
  for (const char *text :
       {"",       " ",      "mm",    "18",     "18 mn", "18,5 mm", "1/0 in",  "3/ in", "1 2 in", "1 1/2", "18 mm mm",
        "1e3 mm", "nan mm", "inf m", "--5 mm", "- mm",  "18 Mm",   "0x10 mm", ".5 mm", "18 ft",  "5 kg",  "1 1/2/3 in"})
    EXPECT_FALSE(parse_length(text).has_value()) << text;
}

TEST(Length, IsShownInMillimetres) {
  EXPECT_EQ(length_text(0.018), "18 mm");
  EXPECT_EQ(length_text(0.1 + 0.2), "300 mm");
  EXPECT_EQ(length_text(0.0123456), "12.346 mm");
  EXPECT_EQ(number_text(0.5), "0.5");
  EXPECT_EQ(number_text(-0.0), "0");
}

}  // namespace
}  // namespace stillbox
