// SPDX-License-Identifier: MIT
// `match` as a user meets it: lists of heard frequencies, words for unknowns, files, and every mistake.
#include "postprocess/match_command.h"

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "postprocess/heard_list.h"
#include "postprocess/safe_file.h"
#include "solver/modes.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"

namespace stillbox {
namespace {

// An invented T of two boards, the rib on a soft joint.
const std::string tee = R"(name = "tee"
up_to_hz = 900
[mesh]
fineness = 0.5
degree = 2
[[board]]
name = "plate"
size = [300, 200]
material = "own"
thickness = 12
[[board]]
name = "rib"
origin = [0, 106, 12]
u = "x"
v = "z"
size = [300, 60]
material = "own"
thickness = 12
[[bond]]
name = "foot \"A\""
between = ["plate", "rib"]
kind = "gasketed"
normal_stiffness_mn_m2 = 400
shear_stiffness_mn_m2 = 150
loss_factor = 0.2
[material.own]
kind = "isotropic"
youngs_modulus_gpa = 3.5
poissons_ratio = 0.25
density_kg_m3 = 750
loss_factor = 0.02
[[variant]]
name = "loose"
[variant.replace]
"foot \"A\"" = { kind = "loose" }
)";

struct Heard {
  CaseText place{tee};
  std::string path = (place.folder / "heard.csv").string();
  explicit Heard(const std::string &text) { std::ofstream(path, std::ios::binary) << text; }

  MatchRequest request(const std::vector<std::string> &unknowns = {}) const {
    MatchRequest r;
    r.heard_path = path;
    r.words.unknowns = unknowns;
    r.materials_path = built_in_materials;
    return r;
  }
};

RunOptions quick() { return quick_run(0); }

// ---- lists ----

TEST(HeardList, ReadsWhatIsThereAndAssumesTheRest) {
  const Heard h(
      "\xEF\xBB\xBF# from a sheet of notes\r\nlevel_db, frequency_hz ,wall,frequency_sd_hz,more,loss_factor,mode\r\n"
      "-3,402.5,\"left, upper\",1.5,x,0.021,7\r\n\r\n,+310,,,,,\r\n");
  const std::vector<HeardLine> list = read_heard_list(h.path);
  ASSERT_EQ(list.size(), 2u);
  EXPECT_DOUBLE_EQ(list[0].heard.frequency, 310);  // sorted
  EXPECT_DOUBLE_EQ(list[0].heard.frequency_sd, 310 * assumed_frequency_sd);
  EXPECT_TRUE(std::isnan(list[0].heard.loss_factor));
  EXPECT_EQ(list[0].mode, 0);
  EXPECT_EQ(list[0].line, 5);
  EXPECT_DOUBLE_EQ(list[1].heard.frequency_sd, 1.5);
  EXPECT_DOUBLE_EQ(list[1].heard.loss_factor, 0.021);
  EXPECT_DOUBLE_EQ(list[1].heard.loss_factor_sd, 0.021 * assumed_loss_sd);
  EXPECT_DOUBLE_EQ(list[1].heard.level_db, -3);
  EXPECT_EQ(list[1].mode, 7);
  EXPECT_EQ(list[1].wall, "left, upper");
  EXPECT_TRUE(is_heard_list(h.path));
  EXPECT_EQ(read_heard_csv(h.path).size(), 2u);
  EXPECT_FALSE(is_heard_list(h.place.path));
}

struct BadList {
  const char *name, *text;
  int line;
  std::vector<std::string> parts;
};

TEST(HeardList, RefusesEveryMistakeWithItsLine) {
  const BadList cases[] = {
      {"no frequencies column", "hz,loss_factor\n300,0.02\n", 1, {"frequency_hz", "headings"}},
      {"near miss", "frequncy_hz\n300\n", 1, {"did you mean \"frequncy_hz\""}},
      {"semicolons", "frequency_hz;loss_factor\n300;0.02\n", 1, {"commas, not semicolons"}},
      {"column twice", "frequency_hz,frequency_hz\n300,300\n", 1, {"each column once"}},
      {"a word", "frequency_hz\nabout 300\n", 2, {"about 300", "1 .. 20000", "decimal point"}},
      {"a unit", "frequency_hz\n300 Hz\n", 2, {"300 Hz", "without a unit"}},
      {"decimal comma", "frequency_hz\n300,5\n", 2, {"2 cells", "write a point"}},
      {"too low", "frequency_hz\n0.2\n", 2, {"0.2", "1 .. 20000"}},
      {"not finite", "frequency_hz\ninf\n", 2, {"inf"}},
      {"negative sd", "frequency_hz,frequency_sd_hz\n300,-1\n", 2, {"frequency_sd_hz", "-1"}},
      {"sd in per cent of something", "frequency_hz,frequency_sd_hz\n300,200\n", 2, {"up to half"}},
      {"loss factor as Q", "frequency_hz,loss_factor\n300,50\n", 2, {"loss_factor", "50", "0 .. 2"}},
      {"knocks not whole", "frequency_hz,knocks\n300,2.5\n", 2, {"knocks", "whole number"}},
      {"mode 0", "frequency_hz,mode\n300,0\n", 2, {"mode", "1 .. 100000"}},
      {"mode twice", "frequency_hz,mode\n300,1\n310,2\n320,1\n", 4, {"each mode once", "line 2"}},
      {"no frequency in a line", "frequency_hz,loss_factor\n,0.02\n", 2, {"every line needs its frequency"}},
      {"open quote", "frequency_hz,wall\n300,\"left\n", 2, {"quote"}},
      {"headings only", "frequency_hz\n", 0, {"holds no frequencies"}},
      {"nothing", "", 0, {"holds no frequencies"}}};
  for (const BadList &bad : cases) {
    SCOPED_TRACE(bad.name);
    const Heard h(bad.text);
    try {
      read_heard_list(h.path);
      ADD_FAILURE() << "was accepted";
    } catch (const CaseError &error) {
      const std::string what = error.what();
      const std::string at = bad.line ? h.path + ":" + std::to_string(bad.line) + ":" : h.path + ":";
      EXPECT_EQ(what.rfind(at, 0), 0u) << what;
      for (const std::string &part : bad.parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
    }
  }
  const Heard good("frequency_hz\n300\n");
  EXPECT_THROW(read_heard_list(good.path + "-not"), CaseError);
  EXPECT_THROW(read_heard_list(good.place.folder.string()), CaseError);
  // Several mistakes are told at once.
  const Heard many("frequency_hz,loss_factor\nx,0.02\n300,y\n");
  try {
    read_heard_list(many.path);
    ADD_FAILURE();
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find(":2:"), std::string::npos);
    EXPECT_NE(std::string(error.what()).find(":3:"), std::string::npos);
  }
}

// ---- mistakes of the command ----

struct BadRequest {
  const char *name;
  std::string list;
  std::vector<std::string> unknowns;
  std::vector<std::string> parts;
  std::vector<std::string> variants = {};
  std::string within = "";
  double up_to = 0;
};

TEST(MatchCommand, RefusesEveryMistakeBeforeAnyWork) {
  const std::string two = "frequency_hz\n300\n400\n";
  const BadRequest cases[] = {
      {"unreadable", two, {"stiffness of own"}, {"stiffness of own", "modulus of NAME", "within 0.5..2"}},
      {"unknown material", two, {"modulus of onw"}, {"onw", "allowed: own", "did you mean"}},
      {"built in, but not used", two, {"modulus of mdf"}, {"mdf", "allowed: own"}},
      {"unknown bond", two, {"stiffness of bond foot"}, {"has no bond \"foot\"", "foot \"A\""}},
      {"loose bond", two, {"stiffness of bond foot \"A\""}, {"loose"}, {"loose"}},
      {"not orthotropic", two, {"along modulus of own"}, {"isotropic", "orthotropic"}},
      {"not in layers", two, {"through shear modulus of own"}, {"isotropic", "transversely isotropic"}},
      {"twice", two, {"modulus of own", "modulus of own"}, {"twice"}},
      {"bounds unreadable", two, {"modulus of own within 0.5-2"}, {"0.5-2", "LOW..HIGH"}},
      {"bounds without the start", two, {"modulus of own within 1.2..2"}, {"1.2..2", "0.001 to 1"}},
      {"bounds the wrong way round", two, {"modulus of own within 1..1"}, {"1..1"}},
      {"bounds for all unreadable", two, {}, {"--within", "half"}, {}, "half..2"},
      {"loss factors not heard", two, {"loss factor of own"}, {"were heard", "loss_factor"}},
      {"more unknowns than heard",
       "frequency_hz\n300\n",
       {"modulus of own", "density of own"},
       {"2 unknowns", "1 heard"}},
      {"unknown variant", two, {}, {"--variant", "lose", "did you mean"}, {"lose"}},
      {"two variants", two, {}, {"--variant", "allowed: one"}, {"base", "loose"}},
      {"unknown wall", "frequency_hz,wall\n300,pate\n", {}, {":2:", "pate", "plate, rib", "did you mean"}},
      {"top below the heard", two, {}, {"--up-to 350", "400 Hz"}, {}, "", 350},
      {"heard beyond all", "frequency_hz\n300\n16000\n", {}, {"16000", "15385"}}};
  for (const BadRequest &bad : cases) {
    SCOPED_TRACE(bad.name);
    const Heard h(bad.list);
    MatchRequest request = h.request(bad.unknowns);
    request.words.within = bad.within;
    request.up_to = bad.up_to;
    RunOptions options = quick();
    options.variants = bad.variants;
    options.out = (h.place.folder / "out").string();
    try {
      run_match(h.place.read(), options, request);
      ADD_FAILURE() << "was accepted";
    } catch (const CaseError &error) {
      const std::string what = error.what();
      for (const std::string &part : bad.parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
      EXPECT_EQ(what.find('\n'), std::string::npos) << what;
    }
    EXPECT_FALSE(std::filesystem::exists(options.out));
  }
  const Heard h(two);
  MatchRequest request = h.request();
  for (double gate : {0.5, 60.0, std::nan("")}) {
    request.gate = gate;
    EXPECT_THROW(run_match(h.place.read(), quick(), request), CaseError);
  }
  request.gate = 15;
  for (double floor : {-1.0, 25.0, std::nan("")}) {
    request.floor = floor;
    EXPECT_THROW(run_match(h.place.read(), quick(), request), CaseError);
  }
  request.floor = 1;
  RunOptions nowhere = quick();
  nowhere.out = "/proc/nothing/here";
  EXPECT_THROW(run_match(h.place.read(), nowhere, request), OutputError);
}

TEST(MatchCommand, TabledMaterialsAreRefused) {
  const CaseText place(R"(name = "strip"
up_to_hz = 500
[[board]]
name = "strip"
size = [300, 40]
material = "tabled"
thickness = 4
[material.tabled]
kind = "isotropic"
poissons_ratio = 0.4
density_kg_m3 = 1300
[material.tabled.complex_modulus]
frequency_hz = [10, 2000]
youngs_modulus_mpa = [2000, 2500]
loss_factor = [0.05, 0.06]
reference_temperature_c = 20
)");
  const std::string path = (place.folder / "heard.csv").string();
  std::ofstream(path) << "frequency_hz\n100\n";
  MatchRequest request;
  request.heard_path = path;
  request.materials_path = built_in_materials;
  try {
    run_match(place.read(), quick(), request);
    ADD_FAILURE();
  } catch (const CaseError &error) {
    EXPECT_NE(std::string(error.what()).find("tabled over frequency"), std::string::npos) << error.what();
  }
}

TEST(MatchCommand, NoSuchMode) {
  const Heard h("frequency_hz,mode\n150,40\n300,\n");
  EXPECT_THROW(run_match(h.place.read(), quick(), h.request()), CaseError);
}

// ---- the whole ----

TEST(MatchCommand, FindsWhatItIsToldAndWritesACaseThatReadsBack) {
  // Heard: the same tee with other wood and another joint, by this program, with no noise.
  Structure truth = CaseText(tee).read().variants[0];
  truth.materials[truth.boards[0].layers[0].material].law *= 1.15;
  truth.materials[truth.boards[0].layers[0].material].loss_factor = 0.03;
  truth.bonds[0].normal *= 0.6;
  truth.bonds[0].shear *= 0.6;
  SolveOptions solve;
  solve.up_to = 1100;  // near 1.3 times the highest one used, so that both meshes err alike
  solve.fineness = 0.5;
  solve.degree = 3;
  const ModalResult result = solve_modes(truth, solve);
  std::ostringstream list;
  list << "frequency_hz,frequency_sd_hz,loss_factor,loss_factor_sd,wall\n";
  ASSERT_GE(result.modes.size(), 7u);
  for (std::size_t i = 0; i < 7; ++i)
    list << result.modes[i].frequency << ',' << 0.002 * result.modes[i].frequency << ',' << result.modes[i].loss_factor
         << ",0.001," << (i == 0 ? "plate" : "") << '\n';
  const Heard h(list.str());
  RunOptions options = quick();
  options.degree = 3;
  options.out = (h.place.folder / "out").string();
  const std::string text =
      run_match(h.place.read(), options,
                h.request({"modulus of own", "stiffness of bond foot \"A\" within 0.1..10", "loss factor of own"}));
  if (std::getenv("STILLBOX_TELL")) std::printf("%s", text.c_str());
  for (const char *part : {"modulus of own", "GPa", "MN/m2", "correlation", "chi^2", "modal assurance", "[[variant]]",
                           "[variant.replace.material.\"own\"]", "bounds of the factor"})
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  for (std::istringstream lines(text); lines;) {
    std::string line;
    std::getline(lines, line);
    EXPECT_LE(line.size(), 110u) << line;
  }

  std::ifstream file(options.out + "/match.json");
  const nlohmann::json json = nlohmann::json::parse(file);
  EXPECT_EQ(json.at("schema"), "stillbox match 1");
  EXPECT_TRUE(json.at("settled"));
  EXPECT_EQ(json.at("pairs").size(), 7u);
  EXPECT_NEAR(json.at("unknowns")[0].at("factor").get<double>(), 1.15, 0.01);
  EXPECT_NEAR(json.at("unknowns")[1].at("factor").get<double>(), 0.6, 0.03);
  EXPECT_NEAR(json.at("unknowns")[2].at("found").get<double>(), 0.03, 0.001);
  EXPECT_FALSE(json.at("frequencies").at("misses_more_than_stated"));

  const CaseFile matched = read_case(options.out + "/matched.toml", built_in_materials);
  ASSERT_EQ(matched.variants.size(), 3u);
  const Structure &s = matched.variants.back();
  EXPECT_EQ(s.variant_name, "matched");
  const Material &own = s.materials[s.boards[0].layers[0].material];
  EXPECT_NEAR(constants_of(own.law).e1 / (1.15 * 3.5e9), 1, 0.01);
  EXPECT_NEAR(own.loss_factor, 0.03, 0.001);
  EXPECT_NEAR(s.bonds[0].normal / 240e6, 1, 0.05);
  EXPECT_NEAR(s.bonds[0].shear / 90e6, 1, 0.05);
  EXPECT_NEAR(s.bonds[0].loss_factor, 0.2, 1e-9);

  std::ifstream csv(options.out + "/match.csv");
  std::string heading, first;
  std::getline(csv, heading);
  std::getline(csv, first);
  EXPECT_EQ(first.rfind("paired,", 0), 0u);
  EXPECT_EQ(std::count(heading.begin(), heading.end(), ','), std::count(first.begin(), first.end(), ','));
}

}  // namespace
}  // namespace stillbox
