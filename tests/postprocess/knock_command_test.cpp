// SPDX-License-Identifier: MIT
// `knock` as a user meets it: the table, the files, and every wrong request refused before any work.
#include "postprocess/knock_command.h"

#include <cstdlib>
#include <nlohmann/json.hpp>

#include "postprocess/safe_file.h"
#include "solver/knock_response.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

const std::string two_plates = R"(name = "plates"
up_to_hz = 700
base_name = "bare"
[[board]]
name = "plate, thin"
size = [300, 200]
material = "aluminium"
thickness = 4
[[variant]]
name = "thicker"
replace = { "plate, thin" = { thickness = 5 } }
)";

RunOptions quick(const std::string &out = "") { return quick_run(700, out); }

TEST(KnockCommand, TableAndFiles) {
  const CaseText text(two_plates);
  const std::string out = (text.folder / "out").string();
  KnockOptions knock;
  knock.at = {"plate, thin, 90, 60", "plate, thin, 21 cm, 140"};
  const std::string words = run_knock(text.read(), quick(out), knock);
  for (const char *part : {"plates: bare", "plates: thicker", "20 N for 3 ms at 2 points", "[90, 60]", "[210, 140]",
                           "T60 s", "not a measurement"})
    EXPECT_NE(words.find(part), std::string::npos) << part << "\n" << words;
  expect_narrow(words);

  // The written motion: acceleration is the slope of velocity, and all is at rest before.
  std::istringstream rows(bytes_in(text.folder / "out" / "knock-time.csv"));
  std::string row;
  std::getline(rows, row);
  EXPECT_EQ(row, "variant,knocked,answered,time_ms,velocity_m_s,acceleration_m_s2\r");
  std::vector<double> v1, a1;
  while (std::getline(rows, row) && row.rfind("bare,1,1,", 0) == 0) {
    double t = 0, v = 0, a = 0;
    ASSERT_EQ(std::sscanf(row.c_str(), "bare,1,1,%lf,%lf,%lf", &t, &v, &a), 3) << row;
    v1.push_back(v);
    a1.push_back(a);
  }
  ASSERT_EQ(v1.size(), 2800u);
  double off = 0, largest = 0, sum = 0;
  for (std::size_t k = 1; k < v1.size(); ++k) {
    sum += (a1[k - 1] + a1[k]) / 2 / (8 * 700);
    off = std::max(off, std::abs(v1[k] - v1[0] - sum));
    largest = std::max(largest, std::abs(v1[k]));
  }
  EXPECT_GT(largest, 0);
  EXPECT_LT(off, 0.1 * largest);  // the trapezoidal rule at 8 to 40 instants a period

  const auto json = nlohmann::json::parse(bytes_in(text.folder / "out" / "mobility.json"));
  EXPECT_EQ(json["schema"], "stillbox mobility 1");
  ASSERT_EQ(json["variants"].size(), 2u);
  const auto &v = json["variants"][0];
  const std::size_t n = v["frequency_hz"].size();
  ASSERT_EQ(v["mobility"].size(), 2u);
  EXPECT_EQ(v["mobility"][1]["re"].size(), n);
  ASSERT_EQ(v["transfer_mobility"].size(), 2u);
  EXPECT_EQ(v["transfer_mobility"][0]["im"].size(), n);
  EXPECT_EQ(v["rigid_modes"], 6);
  ASSERT_FALSE(v["modes"].empty());
  for (const auto &mode : v["modes"]) {
    EXPECT_LT(mode["pole_per_s"][0], 0);
    EXPECT_NEAR(mode["pole_per_s"][1].get<double>() / (2 * M_PI), mode["frequency_hz"].get<double>(), 0.01);
  }
  // The written spectrum peaks at a mode, and a free plate's mobility falls as 1 / f below its modes.
  double peak = 0, at = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const double size = std::hypot(v["mobility"][0]["re"][i].get<double>(), v["mobility"][0]["im"][i].get<double>());
    if (size > peak) {
      peak = size;
      at = v["frequency_hz"][i];
    }
    EXPECT_GE(v["mobility"][0]["re"][i], 0);  // no power comes out of a passive plate
  }
  double nearest = 1e9;
  for (const auto &mode : v["modes"]) nearest = std::min(nearest, std::abs(mode["frequency_hz"].get<double>() - at));
  EXPECT_LT(nearest, 0.05);
  const std::string csv = bytes_in(text.folder / "out" / "mobility.csv");
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), 1 + 2 * 2);
  EXPECT_NE(csv.find("\"plate, thin\",90,60,"), std::string::npos) << csv;
}

TEST(KnockCommand, GridIsTheDefault) {
  const CaseText text(two_plates);
  RunOptions options = quick();
  options.variants = {"bare"};
  options.up_to = 400;
  const std::string words = run_knock(text.read(), options, {});
  EXPECT_NE(words.find("plate, thin     2"), std::string::npos) << words;  // 200 and some points
  EXPECT_EQ(words.find("thicker"), std::string::npos);
}

void expect_refused(const CaseText &text, const RunOptions &options, const KnockOptions &knock,
                    const std::vector<std::string> &parts) {
  SCOPED_TRACE(parts[0]);
  try {
    run_knock(text.read(), options, knock);
    ADD_FAILURE() << "was accepted";
  } catch (const CaseError &error) {
    const std::string what = error.what();
    for (const std::string &part : parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
    EXPECT_NE(what.find("allowed"), std::string::npos) << what;
  }
  EXPECT_FALSE(std::filesystem::exists(text.folder / "out"));
}

TEST(KnockCommand, WrongRequestsAreRefusedBeforeAnyWork) {
  const CaseText text(two_plates);
  const RunOptions options = quick((text.folder / "out").string());
  const auto with = [](double contact, double peak, int points) {
    KnockOptions knock;
    knock.pulse = {peak, contact};
    knock.points = points;
    return knock;
  };
  expect_refused(text, options, with(0, 20, 200), {"--contact-ms 0", "0.1 .. 50 ms"});
  expect_refused(text, options, with(-0.003, 20, 200), {"--contact-ms -3"});
  expect_refused(text, options, with(3, 20, 200), {"--contact-ms 3000"});  // seconds for milliseconds
  expect_refused(text, options, with(std::nan(""), 20, 200), {"--contact-ms nan"});
  expect_refused(text, options, with(0.003, 0, 200), {"--peak-n 0", "0.1 .. 2000 N"});
  expect_refused(text, options, with(0.003, 1e6, 200), {"--peak-n 1e+06"});
  expect_refused(text, options, with(0.003, 20, 0), {"--points 0", "1 .. 2000"});
  expect_refused(text, options, with(0.003, 20, 100000), {"--points 100000"});
  KnockOptions knock;
  knock.at = {"plate, thin, 90, 60", "plate, thin, 301, 60"};
  expect_refused(text, options, knock, {"301, 60 mm", "\"bare\"", "lies off the wall"});
  knock.at = {"plate, 90, 60"};
  expect_refused(text, options, knock, {"has no wall \"plate\"", "plate, thin"});
  RunOptions blocked = options;
  std::ofstream((text.folder / "file").string()) << "x";
  blocked.out = (text.folder / "file").string();
  EXPECT_THROW(run_knock(text.read(), blocked, {}), OutputError);
}

// Through the program itself: options repeat, and a wrong one ends with code 2.
TEST(KnockCommand, ExitCodes) {
  const CaseText text(two_plates);
  const auto run = [&](const std::string &words) {
    const int state = std::system(
        (STILLBOX_BINARY " knock " + text.path + " --fineness 0.5 --degree 2 --up-to 300 " + words + " >/dev/null 2>&1")
            .c_str());
    return WEXITSTATUS(state);
  };
  EXPECT_EQ(run("--variant bare --at 'plate, thin, 90, 60' --at 'plate, thin, 200, 60' --peak-n 10"), 0);
  EXPECT_EQ(run("--at 'plate, thin, 90'"), 2);
  EXPECT_EQ(run("--contact-ms 0"), 2);
  EXPECT_EQ(run("--contact-ms soft"), 2);
  EXPECT_EQ(run("--variant none"), 2);
}

}  // namespace
}  // namespace stillbox
