// SPDX-License-Identifier: MIT
// Observed orders: recovered from made-up rows, against theory on a plate, and refused where they mean nothing.
#include "postprocess/converge.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "postprocess/converge_command.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

TEST(Converge, OrderAndLimitOfAMadeUpRow) {
  for (const double order : {0.8, 1.5, 2.0, 4.0, 6.0}) {
    const double h[3] = {2.3, 1.4, 1};
    double f[3];
    for (int i = 0; i < 3; ++i) f[i] = 250 + 0.7 * std::pow(h[i], order);
    const auto found = observed_order(h, f, 8);
    ASSERT_TRUE(found) << order;
    EXPECT_NEAR(found->order, order, 1e-6);
    EXPECT_NEAR(found->limit, 250, 1e-6);
    for (int i = 0; i < 3; ++i) f[i] = 250 - 0.7 * std::pow(h[i], order);  // from below
    EXPECT_NEAR(observed_order(h, f, 8)->limit, 250, 1e-6);
  }
}

TEST(Converge, NoOrderWhereThereIsNone) {
  const double h[3] = {4, 2, 1};
  const auto order = [&](double a, double b, double c) {
    const double f[3] = {a, b, c};
    return observed_order(h, f, 6).has_value();
  };
  EXPECT_TRUE(order(104, 101, 100.25));
  EXPECT_FALSE(order(101, 104, 100));       // to and fro
  EXPECT_FALSE(order(100, 100, 100));       // nothing changes
  EXPECT_FALSE(order(103, 102, 101));       // does not settle: order 0
  EXPECT_FALSE(order(201, 101, 100.0001));  // order 20
  EXPECT_FALSE(order(104, std::nan(""), 100));
  const double same[3] = {2, 2, 1}, f[3] = {104, 101, 100};
  EXPECT_FALSE(observed_order(same, f, 6));
}

ConvergeOptions to_300() {
  ConvergeOptions options;
  options.variant = "clamped";
  options.degree = 2;
  options.up_to = 300;
  options.fineness = "1, 2, 4";
  return options;
}

// A clamped square plate: 35.985 (Legendre Ritz 14 x 14, recomputed) x 6.1308 Hz = 220.6 Hz, see textbook-plate.toml.
// The meshes come from above with about 3, 0.8 and 0.2 % too much; the limit must be far better than the finest one.
// 0.1 %: thickness (h / a = 0.01) lowers it by some 0.1 % and the clamped faces stiffen it by as much.
TEST(Converge, LimitOfAClampedPlateIsTheorys) {
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/textbook-plate.toml", built_in_materials);
  const CaseText place("");
  ConvergeOptions options = to_300();
  options.out = (place.folder / "out").string();
  options.json = true;
  const auto json = nlohmann::json::parse(run_converge(file, options));
  EXPECT_EQ(json["schema"], "stillbox converge 1");
  ASSERT_EQ(json["levels"].size(), 3u);
  const auto &mode = json["modes"][0];
  const double theory = 35.985 * 6.1308, limit = mode["limit_hz"], finest = mode["frequency_hz"][2];
  EXPECT_NEAR(limit, theory, 1e-3 * theory);
  EXPECT_LT(std::abs(limit - theory), std::abs(finest - theory));
  EXPECT_GT(double(mode["frequency_hz"][0]), double(mode["frequency_hz"][1]));
  EXPECT_GT(double(mode["order"]), 1.5);  // the layer beside the clamped edge keeps it from 4
  EXPECT_LT(double(mode["order"]), 3);
  for (const char *name : {"converge.csv", "converge.json", "converge.svg"})
    EXPECT_TRUE(std::filesystem::exists(options.out + "/" + name)) << name;
  const std::string picture = bytes_in(options.out + "/converge.svg");
  EXPECT_NE(picture.find("order 1.9"), std::string::npos);
}

// A row in the plane can settle on a wrong limit, as the layers stay: the text must say so when the finest mesh's own
// estimate says it, and not otherwise.
TEST(Converge, SaysWhenTheLimitKeepsAnError) {
  Convergence c;
  c.levels = {{1, 2, 900, 27000, 1.6}, {1.5, 2, 1400, 41000, 1.25}, {2.2, 2, 2200, 66000, 1}};
  c.modes = {{"left+right 1x1 breathing", {373.837, 373.649, 373.592}, 0.0044, ObservedOrder{3.5, 373.55}}};
  const auto warns = [&] {
    std::string words;  // the text without its line breaks
    std::istringstream stream(converge_text(c));
    for (std::string word; stream >> word;) words += word + " ";
    return words.find("set a higher --degree") != std::string::npos;
  };
  EXPECT_TRUE(warns());
  c.modes[0].estimated = 2e-4;
  EXPECT_FALSE(warns());
  c.modes[0].observed.reset();
  c.modes[0].frequency[0] = std::nan("");
  EXPECT_NE(converge_text(c).find(" -  "), std::string::npos);
}

TEST(Converge, WrongListsAreRefused) {
  const CaseFile file = read_case(STILLBOX_SOURCE_DIR "/cases/textbook-plate.toml", built_in_materials);
  const auto refused = [&](ConvergeOptions options) {
    options.out = "/nowhere/that/exists";  // never reached
    try {
      run_converge(file, options);
      ADD_FAILURE() << "was accepted";
    } catch (const CaseError &error) {
      return std::string(error.what());
    }
    return std::string();
  };
  for (const char *list : {"1", "1, 1", "2, 1", "0.1, 1", "1, 9", "1, two", "1,, 2", "1, nan"}) {
    ConvergeOptions options = to_300();
    options.fineness = list;
    const std::string message = refused(options);
    for (const char *part : {"--fineness", "0.5 .. 4", "2 .. 8"})
      EXPECT_NE(message.find(part), std::string::npos) << list << ": " << message;
  }
  ConvergeOptions options = to_300();
  options.degrees = "2, 3";
  EXPECT_NE(refused(options).find("only one of the two"), std::string::npos);
  options.fineness.clear();
  options.degrees = "2, 2.5";
  EXPECT_NE(refused(options).find("whole numbers"), std::string::npos);
  options = to_300();
  options.variant = "claped";
  EXPECT_NE(refused(options).find("there is no such variant"), std::string::npos);
}

}  // namespace
}  // namespace stillbox
