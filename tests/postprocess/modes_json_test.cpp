// SPDX-License-Identifier: MIT
#include "postprocess/modes_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

using nlohmann::json;
using test::make_cabinet;

std::vector<ModalResult> two_variants() {
  std::vector<ModalResult> variants{make_cabinet("bare", {412, 500, 900}), make_cabinet("braced", {655, 700})};
  variants[1].sensitivities = {{"modulus of mdf", 0.15, {0.5, 0.49}}};
  return variants;
}

TEST(ModesJson, HoldsEveryDocumentedKey) {
  const auto variants = two_variants();
  const json document = json::parse(modes_json(variants, pair_with_base(variants)));
  EXPECT_EQ(document.at("schema"), "stillbox modes 1");
  EXPECT_EQ(document.at("case"), "invented test cabinet");
  EXPECT_TRUE(document.at("units").is_object());
  ASSERT_EQ(document.at("variants").size(), 2u);
  const json &variant = document.at("variants").at(1);
  EXPECT_EQ(variant.at("name"), "braced");
  EXPECT_DOUBLE_EQ(variant.at("mass_kg"), 9.5);
  EXPECT_DOUBLE_EQ(variant.at("inner_volume_l"), 15.1);
  EXPECT_EQ(variant.at("unknowns"), 30000);
  EXPECT_EQ(variant.at("rigid_modes"), 6);
  EXPECT_EQ(variant.at("count_check").at("state"), "agrees");
  EXPECT_EQ(variant.at("includes").at(0), "elastic boards");
  EXPECT_EQ(variant.at("leaves_out").at(0), "the air");
  EXPECT_EQ(variant.at("sensitivities").at(0).at("d_ln_frequency").size(), 2u);
  const json &mode = variant.at("modes").at(1);
  EXPECT_DOUBLE_EQ(mode.at("frequency_hz"), 700);
  EXPECT_DOUBLE_EQ(mode.at("mesh_error_percent"), 0.12);
  EXPECT_DOUBLE_EQ(mode.at("band_hz").at(0), 0.92 * 700);
  EXPECT_DOUBLE_EQ(mode.at("band_hz").at(1), 1.07 * 700);
  EXPECT_DOUBLE_EQ(mode.at("loss_factor"), 0.02);
  EXPECT_DOUBLE_EQ(mode.at("q"), 50);
  EXPECT_DOUBLE_EQ(mode.at("decay_time_s"), 2.2 / 14);
  EXPECT_EQ(mode.at("label"), "left, right: 1 x 2");
  EXPECT_DOUBLE_EQ(mode.at("energy_share").at("left"), 0.5);
  EXPECT_DOUBLE_EQ(mode.at("net_volume_m3_sqrt_kg"), 0.003);
  EXPECT_DOUBLE_EQ(mode.at("net_share"), 0.4);
  EXPECT_DOUBLE_EQ(mode.at("residual"), 1e-9);
  EXPECT_TRUE(mode.at("check_shift_percent").is_null());
  EXPECT_EQ(mode.at("paired_with_base").at("mode"), 2);
  EXPECT_NEAR(mode.at("paired_with_base").at("mac"), 1, 1e-12);
}

TEST(ModesJson, SameInputSameBytesAndTimesOnlyOnRequest) {
  auto variants = two_variants();
  const auto pairings = pair_with_base(variants);
  const std::string text = modes_json(variants, pairings);
  variants[0].report.seconds_eigen = 1.5;
  EXPECT_EQ(modes_json(variants, pairings), text);
  const json timed = json::parse(modes_json(variants, pairings, true));
  EXPECT_DOUBLE_EQ(timed.at("variants").at(0).at("timings").at("eigen_s"), 1.5);
  EXPECT_DOUBLE_EQ(timed.at("variants").at(0).at("timings").at("files_s"), 0);  // none were written
  variants[1].report.seconds_files = 0.75;
  const json written = json::parse(modes_json(variants, pairings, true));
  EXPECT_DOUBLE_EQ(written.at("variants").at(1).at("timings").at("files_s"), 0.75);
  EXPECT_FALSE(json::parse(text).at("variants").at(0).contains("timings"));
}

TEST(ModesJson, UnpairedModeAndOddTextAreValid) {
  auto variants = two_variants();
  variants[1].variant_name = "quote \" and bad byte \xFF";
  for (FaceSamples &face : variants[1].faces) face.normal[1].setZero();
  const json document = json::parse(modes_json(variants, pair_with_base(variants)));
  EXPECT_TRUE(document.at("variants").at(1).at("modes").at(1).at("paired_with_base").is_null());
  EXPECT_EQ(document.at("variants").at(1).at("name"), "quote \" and bad byte \xEF\xBF\xBD");
}

/// Reads RFC 4180 text.
std::vector<std::vector<std::string>> parse_csv(const std::string &text) {
  std::vector<std::vector<std::string>> rows(1, {""});
  bool quoted = false;
  for (std::size_t k = 0; k < text.size(); ++k) {
    const char c = text[k];
    if (quoted && c == '"' && k + 1 < text.size() && text[k + 1] == '"') {
      rows.back().back() += '"';
      ++k;
    } else if (c == '"') {
      quoted = !quoted;
    } else if (!quoted && c == ',') {
      rows.back().emplace_back();
    } else if (!quoted && c == '\r') {
      continue;
    } else if (!quoted && c == '\n') {
      rows.emplace_back(1, "");
    } else {
      rows.back().back() += c;
    }
  }
  rows.pop_back();
  return rows;
}

TEST(ModesCsv, ReadsBackWithQuotes) {
  auto variants = two_variants();
  variants[1].variant_name = "brace, \"window\"\nkind";
  const auto rows = parse_csv(modes_csv(variants, pair_with_base(variants)));
  ASSERT_EQ(rows.size(), 6u);
  for (const auto &row : rows) EXPECT_EQ(row.size(), rows[0].size());
  EXPECT_EQ(rows[0][0], "variant");
  EXPECT_EQ(rows[0][2], "frequency_hz");
  EXPECT_EQ(rows[4][0], "brace, \"window\"\nkind");
  EXPECT_EQ(rows[4][1], "1");
  EXPECT_DOUBLE_EQ(std::stod(rows[4][2]), 655);
  EXPECT_EQ(rows[4].back(), "left, right: 1 x 1");
  EXPECT_EQ(rows[4][12], "1");
}

TEST(ModesCsv, QuotesOnlyWhatNeedsIt) {
  EXPECT_EQ(csv_cell("plain"), "plain");
  EXPECT_EQ(csv_cell("a,b"), "\"a,b\"");
  EXPECT_EQ(csv_cell("a\"b"), "\"a\"\"b\"");
  EXPECT_EQ(csv_cell("a\nb"), "\"a\nb\"");
}

}  // namespace
}  // namespace stillbox
