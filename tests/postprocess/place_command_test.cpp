// SPDX-License-Identifier: MIT
// `place` and `merge` as a user meets them.
#include "postprocess/place_command.h"

#include <nlohmann/json.hpp>
#include <sstream>

#include "postprocess/place_ranking.h"
#include "postprocess/place_rows.h"
#include "postprocess/safe_file.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

// An invented small box; two lines of two places each and two by rules of thumb, solved in full.
const std::string small_box = R"(name = "small"
base_name = "bare"
up_to_hz = 1100
[mesh]
fineness = 0.5
degree = 2
[cabinet]
outer_size = { width = 160, depth = 140, height = 200 }
board = { material = "mdf", thickness = 8, thickness_tolerance = 0.2 }
[[variant]]
name = "shelf"   # keep me
[[variant.add.brace]]
name = "shelf \"A\""
kind = "shelf"
normal = "height"
at = 80
[[variant]]
name = "two bars"
[variant.add]
brace = [{ name = "one", kind = "bar", between = ["left", "right"], at = [60, 60], section = [10, 10] },
         { name = "two", kind = "bar", between = ["left", "right"], at = [60, 120], section = [10, 10] }]
[place]
variant = "shelf"
compare = ["two bars"]
[[place.vary]]
name = "shelf \"A\""
key = "at"
from = 62
to = 100
step = 38
[[place.vary]]
name = "shelf \"A\""
key = "thickness"
values = [6, 12]
)";

struct PlaceRun {
  CaseText text;
  RunOptions options;
  PlaceOptions place;
  explicit PlaceRun(const std::string &case_text) : text(case_text), options(quick_run(1100)) {
    place.case_path = text.path;
    place.materials_path = built_in_materials;
    place.sample = 0;
  }
  std::filesystem::path folder(const std::string &name) const { return text.folder / name; }
  std::string run(const std::string &out, const std::string &part = "") {
    options.out = folder(out).string();
    place.share = part;
    return run_place(options, place);
  }
};

TEST(PlaceCommand, PartsMergedAndAResumedRunEqualTheWhole) {
  PlaceRun run(small_box);
  const std::string text = run.run("whole");
  EXPECT_NE(text.find("8 candidates"), std::string::npos) << text;
  EXPECT_NE(text.find("middle"), std::string::npos);
  const std::string whole = bytes_in(run.folder("whole") / "candidates.csv");
  ASSERT_EQ(read_place_rows(whole).size(), 8u);

  run.run("parts", "2/2");
  run.run("parts", "1/2");
  run_merge({(run.folder("parts") / "candidates-1-of-2.csv").string(),
             (run.folder("parts") / "candidates-2-of-2.csv").string()},
            run.folder("merged").string());
  EXPECT_EQ(bytes_in(run.folder("merged") / "candidates.csv"), whole);

  // Killed in the middle of the fourth row.
  std::filesystem::create_directories(run.folder("cut"));
  const std::vector<PlaceRow> rows = read_place_rows(whole);
  std::string cut = place_rows_header();
  for (int i = 0; i < 3; ++i) cut += place_row_text(rows[i]);
  cut += place_row_text(rows[3]).substr(0, 40);
  std::ofstream(run.folder("cut") / "candidates.csv", std::ios::binary) << cut;
  const std::string resumed = run.run("cut");
  EXPECT_NE(resumed.find("3 candidates were there"), std::string::npos) << resumed;
  EXPECT_EQ(bytes_in(run.folder("cut") / "candidates.csv"), whole);
  for (const char *name : {"place.csv", "place.svg", "placed.toml"})
    EXPECT_EQ(bytes_in(run.folder("cut") / name), bytes_in(run.folder("whole") / name)) << name;

  const auto json = nlohmann::json::parse(bytes_in(run.folder("whole") / "place.json"));
  EXPECT_EQ(json["schema"], "stillbox place 1");
  ASSERT_EQ(json["candidates"].size(), 8u);
  // The winner has the highest first mode of all, and the file with it reads back, comments kept.
  double best = 0;
  for (const auto &c : json["candidates"]) best = std::max(best, c["frequency_hz"][0].get<double>());
  for (const auto &c : json["candidates"])
    if (c["rank"] == 1) {
      EXPECT_EQ(c["frequency_hz"][0].get<double>(), best);
    }
  EXPECT_NE(bytes_in(run.folder("whole") / "placed.toml").find("# keep me"), std::string::npos);
  const CaseFile placed = read_case((run.folder("whole") / "placed.toml").string(), built_in_materials);
  EXPECT_EQ(placed.variants.back().variant_name, "placed");

  run.options.json = true;
  const std::string printed = run.run("merged");
  EXPECT_EQ(printed, bytes_in(run.folder("merged") / "place.json"));
  EXPECT_EQ(nlohmann::json::parse(printed)["candidates"], json["candidates"]);

  // Another search does not mix with these.
  run.options.up_to = 1050;
  EXPECT_THROW(run.run("whole"), CaseError);
  EXPECT_EQ(bytes_in(run.folder("whole") / "candidates.csv"), whole);
}

TEST(PlaceCommand, AReducedRowIsRanked) {
  std::string text = small_box;
  text.replace(text.find("step = 38"), 9, "step = 5");
  text.replace(text.find("values = [6, 12]"), 16, "values = [12]");
  PlaceRun run(text);
  run.place.sample = 1;
  const std::string said = run.run("out");
  EXPECT_NE(said.find("9 by reduced models"), std::string::npos) << said;
  const auto json = nlohmann::json::parse(bytes_in(run.folder("out") / "place.json"));
  for (const auto &check : json["checks"])
    EXPECT_LT(std::abs(check["reduced_off_percent"]["worst"].get<double>()), 0.5) << check.dump();
  // A light wall box is stiffened by a shelf: the winner beats the bare one in every box drawn.
  EXPECT_EQ(json["checks"][json["checks"].size() - 2]["name"], "two bars");
  EXPECT_EQ(json["checks"].back()["name"].get<std::string>().rfind("sample", 0), 0u);
  for (const auto &check : json["checks"])
    if (check["name"] == "bare") {
      EXPECT_EQ(check["winner_ahead"]["boxes"], 1000);
    }
}

TEST(PlaceCommand, MistakesAreFoundBeforeWork) {
  PlaceRun run(small_box);
  const auto message = [&](const std::string &out, const std::string &part) -> std::string {
    try {
      run.run(out, part);
    } catch (const CaseError &error) {
      return error.what();
    }
    return "";
  };
  for (const char *part : {"0/2", "3/2", "1", "1/2x", "a/b"})
    EXPECT_NE(message("bad", part).find("--share"), std::string::npos) << part;
  EXPECT_FALSE(std::filesystem::exists(run.folder("bad")));
  PlaceRun none(box);
  none.place.case_path = none.text.path;
  try {
    none.run("bad");
    FAIL();
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find("[place]"), std::string::npos);
  }
  std::string impossible = small_box;
  impossible.replace(impossible.find("[place]\n"), 8, "[place]\nmost_mass_kg = 0.1\n");
  PlaceRun heavy(impossible);
  try {
    heavy.run("bad");
    FAIL();
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find("none of the 8 candidates"), std::string::npos) << error.what();
  }
  EXPECT_THROW(run_merge({run.text.path}, run.folder("x").string()), CaseError);
  EXPECT_THROW(run_merge({"/nowhere.csv"}, run.folder("x").string()), CaseError);
  EXPECT_FALSE(std::filesystem::exists(run.folder("x")));
}

PlaceRow row_at(int line, double at, double mass, std::vector<double> f, const Eigen::MatrixXd &samples) {
  PlaceRow row;
  row.search = "abc";
  row.line = line;
  row.line_of = "a \"quoted\", name";
  row.at = at;
  row.how = "full";
  row.mass = mass;
  row.volume = 0.01;
  row.modes.frequency = Eigen::Map<Eigen::VectorXd>(f.data(), Eigen::Index(f.size()));
  row.modes.loss_factor = Eigen::VectorXd::Constant(Eigen::Index(f.size()), 0.02);
  row.modes.samples = samples;
  return row;
}

TEST(PlaceRows, ReadBackAsWritten) {
  Eigen::MatrixXd samples(3, 2);
  samples << 1, 0, -0.5, 1, 0.25, -1;
  const PlaceRow row = rounded(row_at(1, 12.5, 3, {100.1234, 250}, samples));
  EXPECT_EQ(row.line, 1);
  EXPECT_EQ(row.line_of, "a \"quoted\", name");
  EXPECT_NEAR(row.modes.frequency[0], 100.123, 1e-9);
  EXPECT_EQ(place_row_text(rounded(row)), place_row_text(row));
  EXPECT_NEAR(row.modes.samples(1, 0), -50, 1);
  EXPECT_THROW(read_place_rows("a,b\r\n"), std::runtime_error);
}

TEST(PlaceRanking, ModesAreFollowedThroughACrossing) {
  Eigen::MatrixXd ab(4, 2), ba(4, 2);
  ab << 1, 1, 1, -1, 1, 1, 1, -1;
  ba << 1, 1, -1, 1, 1, 1, -1, 1;
  const std::vector<PlaceRow> rows{row_at(0, 10, 3, {100, 110}, ab), row_at(0, 20, 3, {104, 106}, ab),
                                   row_at(0, 30, 3, {102, 108}, ba)};
  const std::vector<PlaceTrack> tracks = track_modes(rows);
  ASSERT_EQ(tracks.size(), 2u);
  EXPECT_EQ(tracks[0].at, (std::vector<std::pair<std::size_t, int>>{{0, 0}, {1, 0}, {2, 1}}));
}

TEST(PlaceRanking, ValuesOfTheAims) {
  PlaceRequest request;
  const Eigen::Vector3d f(100, 200, 400), loss(0.02, 0.01, 0.1);
  EXPECT_EQ(place_value(request, 1000, f, loss), 100);
  request.band_low = 150;
  EXPECT_EQ(place_value(request, 1000, f, loss), 200);
  request.aim = PlaceAim::shortest_ring;
  // T60 = 2.2 / (eta f): 1.1 s at 200 Hz (trade's rule; 3 ln 10 / pi = 2.199).
  EXPECT_NEAR(place_value(request, 1000, f, loss), 2.199 / 2, 1e-3);
  request.aim = PlaceAim::least_clustering;
  EXPECT_NEAR(place_value(request, 1000, f, loss), 0, 1e-6);  // an octave apart
  EXPECT_NEAR(place_value(request, 1000, Eigen::Vector2d(400, 400), Eigen::Vector2d(1, 1)), 1, 1e-12);
}

TEST(PlaceRanking, FrontIsWhatNothingLighterBeats) {
  PlaceRequest request;
  const Eigen::MatrixXd one = Eigen::MatrixXd::Ones(1, 1);
  const std::vector<PlaceRow> rows{row_at(0, 1, 5, {300}, one), row_at(0, 2, 4, {280}, one),
                                   row_at(0, 3, 4.5, {270}, one), row_at(0, 4, 3, {250}, one)};
  const std::vector<RankedPlace> ranking = rank_places(request, 1000, rows);
  ASSERT_EQ(ranking.size(), 4u);
  EXPECT_EQ(ranking[0].row, 0u);
  std::vector<bool> front;
  for (const RankedPlace &place : ranking) front.push_back(place.on_front);
  EXPECT_EQ(front, (std::vector<bool>{true, true, false, true}));
}

TEST(PlaceRanking, WinsAreCountedWithTheSameBoards) {
  ModalResult a, b;
  a.modes.resize(1);
  b.modes.resize(1);
  a.modes[0].frequency = 101;
  b.modes[0].frequency = 100;
  a.sensitivities = {{"modulus of mdf", 0.1, {0.5}}};
  b.sensitivities = {{"modulus of mdf", 0.1, {0.5}}};
  EXPECT_EQ(count_wins({}, 1000, a, b, 200, 1), 200);  // the same boards: the spread cancels
  EXPECT_EQ(count_wins({}, 1000, b, a, 200, 1), 0);
  b.sensitivities = {{"modulus of birch", 0.1, {0.5}}};
  // d ln f evenly within +-0.05 each, apart by 0.00995: P = 1 - (0.1 - 0.00995)^2 / (2 x 0.1^2) = 0.594.
  EXPECT_NEAR(count_wins({}, 1000, a, b, 20000, 1) / 20000.0, 0.594, 0.015);
}

}  // namespace
}  // namespace stillbox
