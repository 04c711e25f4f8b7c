// SPDX-License-Identifier: MIT
// `drive` as a user meets it: text, files, and what is refused before any work.
#include "postprocess/drive_command.h"

#include <vtkCellData.h>
#include <vtkDataArray.h>
#include <vtkNew.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "postprocess/drive_bands.h"
#include "postprocess/drive_files.h"
#include "postprocess/third_octave.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

const std::string driven_case = R"(name = "small box"
up_to_hz = 450
[mesh]
fineness = 0.5
[cabinet]
outer_size = { width = 160, depth = 140, height = 220 }
board = { material = "acrylic", thickness = 4 }
[[cut_out]]
name = "hole"
on = "baffle"
shape = "round"
centre = [80, 80]
diameter = 78
)";

const std::string parameters =
    "moving_mass_g = 3.4\ncompliance_mm_n = 0.9\nmechanical_q = 3.2\nforce_factor_tm = 3.4\ncoil_resistance_ohm = 3.6\n"
    "cone_area_cm2 = 34\n";

std::string with_driver(const std::string &lines) {
  return driven_case + "[[driver]]\ncut_out = \"hole\"\nmass_kg = 0.25\n" + lines;
}

std::string without_walls() {
  return "name = \"t\"\nup_to_hz = 300\n[[board]]\nname = \"plate\"\nmaterial = \"mdf\"\nthickness = 18\nsize = [200, "
         "100]\n";
}

RunOptions coarse_to(double up_to) {
  RunOptions options;
  options.up_to = up_to;
  options.fineness = 0.5;
  return options;
}

std::string refused(const std::string &text, const RunOptions &options, const DriveOptions &drive = {}) {
  const CaseText file(text);
  try {
    run_drive(file.read(), options, drive);
  } catch (const CaseError &error) {
    return error.what();
  }
  return "accepted";
}

TEST(DriveCommand, RefusedBeforeAnyWork) {
  const auto holds = [](const std::string &message, const std::vector<std::string> &parts) {
    for (const std::string &part : parts) EXPECT_NE(message.find(part), std::string::npos) << part << "\n" << message;
  };
  holds(refused(with_driver(""), coarse_to(400)), {"small-signal parameters", "moving_mass_g"});
  holds(refused(without_walls(), coarse_to(400)), {"no [cabinet]"});
  holds(refused(with_driver(parameters), coarse_to(30)), {"--up-to 30", "50 .. "});
  holds(refused(with_driver(parameters), coarse_to(15000)), {"up_to_hz", "15000", "surface elements"});
  DriveOptions drive;
  drive.frequencies = 3;
  holds(refused(with_driver(parameters), coarse_to(400), drive), {"--frequencies 3", "20 .. 5000"});
  drive = {};
  drive.surfaces = {200};
  holds(refused(with_driver(parameters), coarse_to(400), drive), {"--surface-hz", "--out"});
  RunOptions out = coarse_to(400);
  out.out = "/tmp";
  drive.surfaces = {500};
  holds(refused(with_driver(parameters), out, drive), {"--surface-hz 500", "20 .. 400"});
}

TEST(DriveCommand, TextAndFiles) {
  const CaseText file(with_driver(parameters));
  RunOptions options = coarse_to(450);
  options.out = (file.folder / "out").string();
  DriveOptions drive;
  drive.frequencies = 60;
  drive.surfaces = {100, 404.5};
  drive.voltage = 2;
  const std::string text = run_drive(file.read(), options, drive);
  for (const char *part : {"Walls against the driver", "loudest modes", "Wall by wall", "no agreed limit", "Left out",
                           "room, floor", "prediction, not a measurement", "2 V; in free air 91.0 Hz"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  expect_narrow(text, 116);
  const auto bytes = [&](const std::string &name) {
    const std::string found = bytes_in(options.out + "/" + name);
    EXPECT_FALSE(found.empty()) << name;
    return found;
  };
  const auto json = nlohmann::json::parse(bytes("drive.json"));
  EXPECT_EQ(json["schema"], "stillbox drive 1");
  const auto &v = json["variants"][0];
  const std::size_t count = v["frequency_hz"].size();
  EXPECT_GE(count, 60u);
  for (const char *key : {"net_volume_pa"}) EXPECT_EQ(v[key].size(), count);
  EXPECT_EQ(v["on_axis_pa"]["total"]["re"].size(), count);
  EXPECT_EQ(v["all_round_pa"]["wall"]["left"].size(), count);
  EXPECT_EQ(v["driver"][0]["impedance_ohm"]["im"].size(), count);
  EXPECT_EQ(v["power_w"]["radiated"].size(), count);
  EXPECT_EQ(v["drivers"][0]["voltage_v"], 2);
  EXPECT_FALSE(v["modes"].empty());
  const std::string csv = bytes("drive.csv");
  EXPECT_EQ(std::count(csv.begin(), csv.end(), '\n'), long(count) + 1);
  const std::string head = csv.substr(0, csv.find('\r'));
  const std::string row = csv.substr(csv.find('\n') + 1, csv.find('\n', csv.find('\n') + 1) - csv.find('\n') - 1);
  EXPECT_EQ(std::count(head.begin(), head.end(), ','), std::count(row.begin(), row.end(), ','));
  EXPECT_NE(bytes("drive-walls.svg").find("walls over driver"), std::string::npos);
  EXPECT_NE(bytes("drive-impedance.svg").find("impedance"), std::string::npos);
  EXPECT_FALSE(bytes("base-404.5hz-drive.vtu").empty());
  // The surface at 100 Hz read back: fastest is the cone, as in the JSON at the next frequency.
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  reader->SetFileName((options.out + "/base-100hz-drive.vtu").c_str());
  reader->Update();
  vtkUnstructuredGrid *grid = reader->GetOutput();
  EXPECT_EQ(grid->GetNumberOfCells(), v["outside"]["elements"].get<long>());
  for (const char *name : {"velocity re", "velocity im", "pressure re", "pressure im", "wall"})
    ASSERT_TRUE(grid->GetCellData()->GetArray(name)) << name;
  double fastest = 0;
  for (vtkIdType e = 0; e < grid->GetNumberOfCells(); ++e)
    fastest = std::max(fastest, std::hypot(grid->GetCellData()->GetArray("velocity re")->GetTuple1(e),
                                           grid->GetCellData()->GetArray("velocity im")->GetTuple1(e)));
  std::size_t near = 0;
  while (v["frequency_hz"][near] < 100) ++near;
  const double cone = 2 * M_PI * 100 *
                      std::hypot(v["driver"][0]["cone_m"]["re"][near].get<double>(),
                                 v["driver"][0]["cone_m"]["im"][near].get<double>());
  const double share = 34e-4 / (M_PI * 0.039 * 0.039);  // the cone's part of its cut-out
  EXPECT_NEAR(fastest / (share * cone), 1, 0.1);
}

// The worst of each band is taken at one frequency of the band, for the axis and all round apart.
TEST(DriveCommand, BandsTakeTheirWorst) {
  DriveSolution s;
  const auto add = [&](double f, double walls, double driver) {
    DriveSound d;
    d.frequency = f;
    d.walls = {walls, walls / 2};
    d.driver = {driver, driver};
    d.wall.resize(6);
    d.wall[right].sphere = 1;
    s.sound.push_back(d);
  };
  add(100, 0.1, 1);
  add(105, 0.2, 1);
  add(200, 1, 1);
  add(201, 0, 1);
  const auto bands = drive_bands(s);
  ASSERT_EQ(bands.size(), 2u);
  EXPECT_EQ(third_octave_name(bands[0].band), "100");
  EXPECT_NEAR(bands[0].on_axis, 20 * std::log10(0.2), 1e-9);
  EXPECT_NEAR(bands[0].on_sphere, 20 * std::log10(0.1), 1e-9);
  EXPECT_EQ(bands[0].on_axis_hz, 105);
  EXPECT_NEAR(bands[1].on_axis, 0, 1e-9);
  EXPECT_EQ(bands[1].wall, int(right));
}

}  // namespace
}  // namespace stillbox
