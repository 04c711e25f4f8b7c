// SPDX-License-Identifier: MIT
// Text, files and pictures of a knock, from an invented box of simply supported plates (knock_samples.h).
#include "postprocess/knock_report.h"

#include <sys/stat.h>
#include <vtkNew.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLDataParser.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "postprocess/gnuplot.h"
#include "postprocess/knock_map.h"
#include "postprocess/knock_pictures.h"
#include "postprocess/safe_file.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/knock_samples.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;
using test::plate_box;

struct Folder {
  fs::path path;
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "stillbox-knock.XXXXXX").string();
    path = ::mkdtemp(pattern.data());
  }
  ~Folder() { fs::remove_all(path); }
};

bool is_xml(const std::string &text) {
  vtkNew<vtkXMLDataParser> parser;
  std::istringstream stream(text);
  parser->SetStream(&stream);
  return parser->Parse() != 0;
}

std::vector<KnockModel> models_of(const std::vector<test::KnockSample> &samples) {
  std::vector<KnockModel> out;
  for (const auto &sample : samples) out.push_back(sample.model);
  return out;
}

std::vector<ModalResult> results_of(const std::vector<test::KnockSample> &samples) {
  std::vector<ModalResult> out;
  for (const auto &sample : samples) out.push_back(sample.result);
  return out;
}

// Names that would run a command, end a string or break XML if anything let them.
const std::string hostile = "`touch pwned` \"; system('touch pwned'); '<b>& @x %s $(touch pwned) \\";

TEST(KnockReport, WritesEverythingTwiceTheSame) {
  const std::vector<test::KnockSample> samples{plate_box("bare", 0.02), plate_box(hostile, 0.05, 1.2)};
  const Folder one, two;
  const auto names = write_knock_files(one.path.string(), models_of(samples), results_of(samples), {});
  EXPECT_EQ(write_knock_files(two.path.string(), models_of(samples), results_of(samples), {}), names);
  std::size_t found = 0;
  for (const auto &entry : fs::directory_iterator(one.path)) {
    ++found;
    EXPECT_EQ(bytes_in(entry.path()), bytes_in(two.path / entry.path().filename())) << entry.path();
    EXPECT_EQ(std::count(names.begin(), names.end(), entry.path().filename().string()), 1) << entry.path();
    if (entry.path().extension() == ".svg") {
      EXPECT_TRUE(is_xml(bytes_in(entry.path()))) << entry.path();
    }
    if (entry.path().extension() == ".png") {
      EXPECT_EQ(bytes_in(entry.path()).substr(1, 3), "PNG");
      EXPECT_GT(fs::file_size(entry.path()), 20000u) << entry.path();
    }
  }
  EXPECT_EQ(found, names.size());
  EXPECT_EQ(found, 14u);  // json, csv, two sounds; two maps, response and two decays as svg and png
  for (const char *name : {"knock.json", "knock.csv", "bare-knock-map.svg", "bare-knock-map.png", "bare-decay.svg",
                           "knock-response.png", "knock-equal-force.wav", "knock-matched.wav"})
    EXPECT_EQ(std::count(names.begin(), names.end(), name), 1) << name;

  const std::string decay = bytes_in(one.path / "bare-decay.svg");
  EXPECT_NE(decay.find("not valid below"), std::string::npos);
  const std::string response = bytes_in(one.path / "knock-response.svg");
  EXPECT_NE(response.find("dB re 1 nm/(N s)"), std::string::npos);
  EXPECT_NE(response.find("invented test cabinet"), std::string::npos);

  const auto json = nlohmann::json::parse(bytes_in(one.path / "knock.json"));
  EXPECT_EQ(json["schema"], "stillbox knock 1");
  const auto &bare = json["variants"][0];
  EXPECT_EQ(bare["points"].size(), 216u);
  EXPECT_EQ(bare["walls"].size(), 6u);
  EXPECT_EQ(bare["walls"][0]["acceleration_level_db"].size(), bare["modes"].size());
  EXPECT_EQ(json["variants"][1]["name"], clean_text(hostile));
  EXPECT_EQ(json["sound"]["knocks"].size(), 6u);
  const double energy = bare["all_walls"]["ring_energy_level_db"];
  EXPECT_NEAR(energy, deadness(samples[0].model, samples[0].result, {}).all.energy_level, 1e-9);
  // A plate's mode does not move the other walls: no level, no figure.
  EXPECT_TRUE(bare["walls"][0]["acceleration_level_db"].front().is_null() ||
              bare["walls"][2]["acceleration_level_db"].front().is_null());

  std::istringstream csv(bytes_in(one.path / "knock.csv"));
  std::string line;
  std::size_t rows = 0;
  for (; std::getline(csv, line); ++rows)
    if (line.find('"') == std::string::npos) {
      EXPECT_EQ(std::count(line.begin(), line.end(), ','), 15) << line;
    }
  EXPECT_GT(rows, 14u + 7 * (samples[0].model.poles.size() + samples[1].model.poles.size()));
}

TEST(KnockReport, TextFitsAndTellsVariantsApart) {
  const std::vector<test::KnockSample> samples{plate_box("bare", 0.02), plate_box("damped", 0.06),
                                               plate_box(hostile, 0.03, 1.3)};
  const std::string text = knock_text(models_of(samples), results_of(samples), {});
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) EXPECT_LE(display_width(line), table_width) << line;
  for (const char *part : {"all walls", "baffle", "damped against bare", "dB lower", "a guide, no standard",
                           "volume down", "ISO 1683", "IEC 61260-1", "k a = 1", "half-sine of 20 N and 3 ms"})
    EXPECT_NE(text.find(part), std::string::npos) << part;
  EXPECT_TRUE(knock_text({}, {}, {}).empty());
}

TEST(KnockReport, OneFreeBoardNeedsNoCabinet) {
  test::KnockSample sample = plate_box("plate", 0.02);
  sample.result.inner_volume = 0;
  sample.result.faces.resize(1);
  sample.result.faces[0].role = "free";
  sample.model.walls.clear();
  sample.model.wall_area.clear();
  sample.model.points.resize(36);
  sample.model.shapes = Eigen::MatrixXcd(sample.model.shapes.topRows(36));
  sample.model.rigid = Eigen::MatrixXd(sample.model.rigid.topRows(36));
  sample.model.residual = Eigen::MatrixXd(sample.model.residual.topLeftCorner(36, 36));
  sample.model.volume.resize(0, sample.model.poles.size());
  sample.model.rigid_volume.resize(0, sample.model.rigid.cols());
  sample.model.residual_volume.resize(0, 36);
  const Folder folder;
  const auto names = write_knock_files(folder.path.string(), {sample.model}, {sample.result}, {});
  EXPECT_EQ(std::count(names.begin(), names.end(), "knock-matched.wav"), 0);
  EXPECT_EQ(names.size(), 8u);
  const std::string text = knock_text({sample.model}, {sample.result}, {});
  EXPECT_EQ(text.find("all walls "), std::string::npos) << text;
  EXPECT_NE(text.find("no sound: free boards"), std::string::npos);
  EXPECT_TRUE(nlohmann::json::parse(bytes_in(folder.path / "knock.json"))["sound"].is_null());
}

TEST(KnockReport, WithoutModesThereAreFiguresButNoCurves) {
  const test::KnockSample none = test::only_modes(plate_box("none", 0.02), {});
  const Folder folder;
  const auto names = write_knock_files(folder.path.string(), {none.model}, {none.result}, {});
  EXPECT_EQ(names, (std::vector<std::string>{"knock.json", "knock.csv", "none-knock-map.svg", "none-knock-map.png"}));
  EXPECT_NE(knock_text({none.model}, {none.result}, {}).find("no mode moves"), std::string::npos);
}

TEST(KnockReport, BadFolderIsFoundBeforeWork) {
  const Folder folder;
  const fs::path file = folder.path / "file";
  std::ofstream(file) << "x";
  const test::KnockSample sample = plate_box("bare", 0.02);
  EXPECT_THROW(write_knock_files((file / "below").string(), {sample.model}, {sample.result}, {}), OutputError);
  EXPECT_THROW(check_knock_files((file / "below").string()), OutputError);
  EXPECT_EQ(bytes_in(file), "x");
}

/// PATH for as long as it lives.
struct Path {
  std::string before = std::getenv("PATH");
  explicit Path(const std::string &value) { ::setenv("PATH", value.c_str(), 1); }
  ~Path() { ::setenv("PATH", before.c_str(), 1); }
};

TEST(KnockReport, MissingGnuplotIsFoundBeforeWork) {
  const Folder folder, out;
  const Path path(folder.path.string());
  const test::KnockSample sample = plate_box("bare", 0.02);
  try {
    write_knock_files(out.path.string(), {sample.model}, {sample.result}, {});
    FAIL() << "accepted";
  } catch (const OutputError &error) {
    EXPECT_NE(std::string(error.what()).find("gnuplot-nox"), std::string::npos) << error.what();
  }
  EXPECT_TRUE(fs::is_empty(out.path));
}

TEST(Gnuplot, FailureIsOneMessageWithItsOwnWords) {
  try {
    draw_with_gnuplot("plot nonsense(", {}, "x");
    FAIL() << "accepted";
  } catch (const OutputError &error) {
    const std::string what = error.what();
    EXPECT_NE(what.find("gnuplot failed"), std::string::npos) << what;
    EXPECT_EQ(what.find('\n'), std::string::npos) << what;
  }
}

TEST(Gnuplot, NothingInAStringIsRun) {
  EXPECT_EQ(gnuplot_string("it's\n`x`"), "'it''s `x`'");
  const Folder folder;
  const std::string mark = (folder.path / "mark").string();
  const std::string nasty = "`touch " + mark + "`' ; system('touch " + mark + "') ; print '@x \\";
  const Plot plot = draw_with_gnuplot("set title " + gnuplot_string(nasty) + "\nplot x title " + gnuplot_string(nasty),
                                      {300, 200}, nasty);
  EXPECT_FALSE(fs::exists(mark));
  EXPECT_TRUE(is_xml(plot.svg));
  EXPECT_NE(plot.svg.find("`touch"), std::string::npos);
}

TEST(KnockMap, SharesOneScaleAndNamesWalls) {
  const std::vector<test::KnockSample> samples{plate_box("bare", 0.02), plate_box("<damped>", 0.08)};
  const MapScale scale = map_scale(models_of(samples), {});
  double most = -1e300;
  for (const auto &sample : samples) most = std::max(most, point_levels(sample.model, {}).maxCoeff());
  EXPECT_EQ(scale.top, std::ceil(most));
  const std::string svg = knock_map(samples[1].model, samples[1].result, {}, scale);
  EXPECT_TRUE(is_xml(svg));
  for (const char *part : {"&lt;damped&gt;", "baffle: 36 points", "class=\"band\"", "class=\"dot\"", "(1 nm/s)^2 1 s"})
    EXPECT_NE(svg.find(part), std::string::npos) << part;
  test::KnockSample few = samples[0];
  few.model.points.resize(3);
  few.model.shapes = Eigen::MatrixXcd(few.model.shapes.topRows(3));
  EXPECT_EQ(knock_map(few.model, few.result, {}, scale).find("class=\"band\""), std::string::npos);
}

TEST(KnockPictures, WindowHolds18PeriodsOfTheLowestRing) {
  const test::KnockSample sample = plate_box("bare", 0.02);
  const DecayFrame frame = decay_frame({sample.model}, {sample.result}, {});
  const Deadness d = deadness(sample.model, sample.result, {});
  const double lowest = d.modes[std::size_t(d.all.lowest_heard)].frequency;
  EXPECT_NEAR(frame.window, 18 / lowest, 1e-12);
  EXPECT_LT(frame.low, 3 / frame.window);  // the shaded corner is in the picture
  EXPECT_LT(3 / frame.window, lowest);     // and the rings are not in the corner
}

}  // namespace
}  // namespace stillbox
