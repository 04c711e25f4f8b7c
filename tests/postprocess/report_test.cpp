// SPDX-License-Identifier: MIT
// `report`: the judgement of differences, the pieces of the page, and the command with every wrong request.
#include <nlohmann/json.hpp>

#include "postprocess/html.h"
#include "postprocess/page_files.h"
#include "postprocess/place_search.h"
#include "postprocess/report_command.h"
#include "postprocess/report_data.h"
#include "postprocess/riding_modes.h"
#include "postprocess/safe_file.h"
#include "solver/knock_points.h"
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/case_text.h"
#include "tests/postprocess/quick_run.h"
#include "tests/postprocess/ran.h"
#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

using test::make_cabinet;

ModalResult with_sensitivities(const std::string &name, const std::vector<double> &frequencies,
                               const std::vector<Sensitivity> &list) {
  ModalResult result = make_cabinet(name, frequencies);
  result.sensitivities = list;
  for (Mode &mode : result.modes) mode.numerical_error = 0;
  return result;
}

// Sums by hand. Modulus: the same boards in both, sensitivity 0.5 in both: cancels. Density: (-0.5 + 0.3) x 6 % = 1.2
// %. The walls' thickness has another tolerance in the other variant, so it is another stock: 1.0 x 2 % and 0.8 x 1.5
// %.
TEST(ChangeBand, WhatBothShareCancels) {
  const ModalResult a = with_sensitivities(
      "a", {400},
      {{"modulus of mdf", 0.15, {0.5}}, {"density of mdf", 0.06, {-0.5}}, {"thickness of walls", 0.02, {1.0}}});
  ModalResult b = with_sensitivities(
      "b", {420},
      {{"modulus of mdf", 0.15, {0.5}}, {"density of mdf", 0.06, {-0.3}}, {"thickness of walls", 0.015, {0.8}}});
  const FrequencyChange change = frequency_change(a, 0, b, 0);
  EXPECT_NEAR(change.ratio, 1.05, 1e-12);
  EXPECT_NEAR(change.band, std::sqrt(0.012 * 0.012 + 0.02 * 0.02 + 0.012 * 0.012), 1e-12);
  EXPECT_TRUE(change.is_beyond);  // 4.9 % against 2.6 %
  b.modes[0].numerical_error = 0.05;
  EXPECT_FALSE(frequency_change(a, 0, b, 0).is_beyond);  // no more than the mesh can do
  EXPECT_NEAR(frequency_change(b, 0, a, 0).band, frequency_change(a, 0, b, 0).band, 1e-12);
  // Nothing changed: no band, and no difference.
  const FrequencyChange none = frequency_change(a, 0, a, 0);
  EXPECT_EQ(none.band, 0);
  EXPECT_FALSE(none.is_beyond);
}

TEST(ChangeBand, ModesAreCounted) {
  const std::vector<Sensitivity> list{{"modulus of mdf", 0.1, {0.5, 0.5, 0.5, 0.5}}};
  const ModalResult a = with_sensitivities("a", {400, 500, 600, 700}, list);
  ModalResult b = with_sensitivities("b", {440, 480, 600}, {{"modulus of mdf", 0.1, {0.5, 0.5, 0.4}}});
  Pairing pairing;
  pairing.partner = {0, 1, 2, -1};
  pairing.mac = {1, 1, 1, 0};
  const ModeChanges changes = mode_changes(a, b, pairing);
  EXPECT_EQ(changes.higher, 1);
  EXPECT_EQ(changes.lower, 1);
  EXPECT_EQ(changes.within, 1);
  EXPECT_EQ(changes.gone, 1);
}

// v^2 T60 by hand: 20 dB more acceleration is 100 times the energy at the same frequency and decay; twice the frequency
// a quarter of it.
TEST(Report, ModesThatMatterHoldTheRinging) {
  Deadness dead;
  dead.modes = {
      {100, 0.02, 50, 1.1, "a"}, {200, 0.02, 50, 1.1, "b"}, {100, 0.02, 50, 2.2, "c"}, {100, 0.02, 50, 1.1, "d"}};
  dead.all.level = {80, 100, 80, -std::numeric_limits<double>::infinity()};
  const std::vector<double> shares = ring_shares(dead);
  EXPECT_NEAR(shares[1] / shares[0], 25, 1e-9);
  EXPECT_NEAR(shares[2] / shares[0], 2, 1e-9);
  EXPECT_EQ(shares[3], 0);
  EXPECT_NEAR(shares[0] + shares[1] + shares[2], 1, 1e-12);
  EXPECT_EQ(modes_that_matter(dead, 4, 2), (std::vector<int>{0, 1}));  // the lowest is always among them
  EXPECT_EQ(modes_that_matter(dead, 4, 3), (std::vector<int>{0, 1, 2}));
  EXPECT_EQ(modes_that_matter(dead, 4, 9), (std::vector<int>{0, 1, 2, 3}));
  EXPECT_TRUE(modes_that_matter({}, 0, 6).empty());
}

TEST(Html, EscapesAndScopes) {
  const std::string table = html_table("a < b", {{"name & co", Align::left}, {"Hz"}},
                                       {{html_text("<i>"), "1"}, {html_text("<i>"), "2"}, {"x", "3"}});
  for (const char *part : {"<caption>a &lt; b</caption>", "scope=\"col\"", "name &amp; co", "scope=\"row\"",
                           "&lt;i&gt;", "aria-label=\"a &lt; b\""})
    EXPECT_NE(table.find(part), std::string::npos) << part << table;
  EXPECT_EQ(table.find("<i>"), std::string::npos);
  std::size_t again = 0;
  for (std::size_t at = 0; (at = table.find("class=\"again\"", at)) != std::string::npos; ++at) ++again;
  EXPECT_EQ(again, 1u);
  const std::string picture = html_picture("<?xml version=\"1.0\"?>\n<svg fill='#fff'>\"&% \xC3\xA4</svg>", "a \"b\"");
  EXPECT_EQ(picture,
            "<img src=\"data:image/svg+xml,%3Csvg fill=%27%23fff%27%3E%22%26%25 %C3%A4%3C/svg%3E\" "
            "alt=\"a &quot;b&quot;\">");
  EXPECT_EQ(json_for_script("{\"a\":\"</script>\"}"), "{\"a\":\"\\u003c/script>\"}");
  EXPECT_EQ(script_for_html("// </script> <!--"), "// <\\/script> <\\!--");
}

const std::string strips = R"(name = "strips"
up_to_hz = 600
base_name = "4 mm"
[[board]]
name = "strip"
size = [300, 40]
material = "aluminium"
thickness = 4
[[variant]]
name = "4.4 mm"
replace = { "strip" = { thickness = 4.4 } }
)";

RunOptions quick(const CaseText &text) { return quick_run(600, (text.folder / "out").string()); }

ReportOptions few_knocks() {
  ReportOptions report;
  report.knock.points = 12;
  report.materials_path = built_in_materials;
  return report;
}

// The frequency of a free strip goes with its thickness (thin beam): +10 %, and far beyond the tolerances of one batch.
TEST(Report, CommandWritesOnePage) {
  const CaseText text(strips);
  RunOptions options = quick(text);
  options.json = true;
  const auto json = nlohmann::json::parse(run_report(text.read(), options, few_knocks()));
  EXPECT_EQ(json["schema"], "stillbox report 1");
  EXPECT_EQ(json["variants"].size(), 2u);
  const auto &change = json["variants"][1]["against_base"];
  EXPECT_NEAR(change["first_mode_percent"].get<double>(), 10, 0.3);
  EXPECT_TRUE(json["variants"][0]["against_base"].is_null());
  EXPECT_GE(json["not_on_page"].size(), 2u);
  const std::string page = bytes_in(text.folder / "out" / "report.html");
  EXPECT_EQ(json["bytes"], page.size());
  for (const char *part : {"<!DOCTYPE html>", "Content-Security-Policy", "<h1>strips</h1>", "id=\"verdict\"",
                           "id=\"ringing\"", "id=\"trust\"", "Not on this page", "A prediction, not a measurement"})
    EXPECT_NE(page.find(part), std::string::npos) << part;
  EXPECT_EQ(page.find("id=\"place\""), std::string::npos);        // the case has no [place]
  EXPECT_EQ(page.find(text.folder.string()), std::string::npos);  // no folder of the user's
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(text.folder / "out"), {}), 1);

  options.json = false;
  const std::string words = run_report(text.read(), options, few_knocks());
  EXPECT_EQ(bytes_in(text.folder / "out" / "report.html"), page);  // the same bytes
  for (const char *part : {"strips", "4.4 mm", "give or take", "Not on the page", "report.html"})
    EXPECT_NE(words.find(part), std::string::npos) << part << words;
  for (std::size_t at = 0, end; (end = words.find('\n', at)) != std::string::npos; at = end + 1)
    if (words.compare(at, text.folder.string().size(), text.folder.string()) != 0) {
      EXPECT_LE(end - at, 110u) << words.substr(at, end - at);
    }
  EXPECT_EQ(page.find("id=\"view-data\"") != std::string::npos, !view_library.empty());
}

TEST(Report, WrongRequestsAreRefusedBeforeAnyWork) {
  const CaseText text(strips);
  const auto refused = [&](const RunOptions &options, const ReportOptions &report, const std::string &part) {
    try {
      run_report(text.read(), options, report);
      ADD_FAILURE() << "was accepted: " << part;
    } catch (const CaseError &error) {
      EXPECT_NE(std::string(error.what()).find(part), std::string::npos) << error.what();
    }
    EXPECT_FALSE(std::filesystem::exists(text.folder / "out"));
  };
  RunOptions options = quick(text);
  options.variants = {"none"};
  refused(options, few_knocks(), "no such variant");
  ReportOptions report = few_knocks();
  report.knock.points = 0;
  refused(quick(text), report, "--points 0");
  report = few_knocks();
  report.knock.pulse.contact = 3;
  refused(quick(text), report, "--contact-ms 3000");
  report = few_knocks();
  report.drive = true;
  refused(quick(text), report, "allowed for drive");
  RunOptions blocked = quick(text);
  std::ofstream((text.folder / "file").string()) << "x";
  blocked.out = (text.folder / "file").string();
  EXPECT_THROW(run_report(text.read(), blocked, few_knocks()), OutputError);
  const auto code = [&](const std::string &words) {
    return ran(STILLBOX_BINARY " report " + text.path + " " + words + " 2>&1").code;
  };
  EXPECT_EQ(code("--picture-modes 0"), 2);
  EXPECT_EQ(code("--peak-n 0"), 2);
  EXPECT_EQ(code("--drive"), 2);
}

// A floating box has no riding modes; on soft feet it has six, far below the walls' own, which hardly change.
TEST(RidingModes, SixOnFeetAndTheWallsStay) {
  std::string feet;
  for (const std::string at : {"[30, 40]", "[170, 40]", "[30, 260]", "[170, 260]"})
    feet += "[[foot]]\non = \"bottom\"\nat = " + at + "\nstiffness_n_m = 20000\n";
  const auto solved = [](const std::string &words) {
    const CaseText text(words);
    const CaseFile file = text.read();
    SolveOptions options;
    options.up_to = 520;
    options.degree = 2;
    options.fineness = 0.5;
    KnockSolution solution = solve_knock(file.variants[0], options, knock_grid(file.variants[0], 12));
    const std::vector<int> riding = riding_modes(file.variants[0], solution.modes);
    const std::size_t all = solution.modes.modes.size();
    const std::vector<double> taken = take_out_modes(solution, riding);
    EXPECT_EQ(solution.modes.modes.size() + taken.size(), all);
    EXPECT_EQ(solution.model.poles.size(), Eigen::Index(solution.modes.modes.size()));
    EXPECT_EQ(solution.model.shapes.cols(), solution.model.poles.size());
    for (std::size_t m = 0; m < solution.modes.modes.size(); ++m)
      EXPECT_NEAR(std::abs(solution.model.poles[Eigen::Index(m)]) / (2 * M_PI), solution.modes.modes[m].frequency,
                  0.01 * solution.modes.modes[m].frequency);
    return std::pair(solution, taken);
  };
  const auto [floating, none] = solved(box);
  EXPECT_TRUE(none.empty());
  ASSERT_FALSE(floating.modes.modes.empty());
  const auto [standing, riding] = solved(box + feet);
  ASSERT_EQ(riding.size(), 6u);
  EXPECT_LT(riding.back(), 100);
  ASSERT_EQ(standing.modes.modes.size(), floating.modes.modes.size());
  EXPECT_NEAR(standing.modes.modes[0].frequency / floating.modes.modes[0].frequency, 1, 0.01);
  EXPECT_NEAR(wood_share(floating.modes, 0), 1, 1e-6);  // nothing else holds energy
}

// What an earlier `place` left is shown only when it is of this search.
TEST(Report, PlacesOfAnEarlierRun) {
  const CaseText text(box +
                      "[[brace]]\nname = \"shelf\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 150\n"
                      "[place]\naim = \"highest first mode\"\n[[place.vary]]\nname = \"shelf\"\nkey = \"at\"\n"
                      "from = 100\nto = 200\nstep = 10\n");
  RunOptions options = quick(text);
  options.up_to = 420;
  const std::filesystem::path out = text.folder / "out";
  const auto page_with = [&](const std::string &search, const std::string &json) {
    std::filesystem::create_directories(out);
    PlaceRow row;
    row.search = search;
    row.how = "full";
    std::ofstream(out / "candidates.csv", std::ios::binary) << place_rows_header() + place_row_text(row);
    std::ofstream(out / "place.json", std::ios::binary) << json;
    run_report(text.read(), options, few_knocks());
    return bytes_in(out / "report.html");
  };
  const std::string json =
      R"({"schema": "stillbox place 1", "aim": "highest first mode", "variant": "<b>", "units": {"value": "Hz"},
 "candidates": [{"line_of": "", "at_mm": 150.0, "rule": "middle", "how": "full", "rank": 1, "value": 432.1,
 "mass_kg": 5.0, "inner_volume_l": 14.0}, {"line_of": "", "at_mm": 110.0, "rule": null, "how": "refused"}],
 "checks": [{"name": "winner", "candidate": "at 150 mm", "value": 432.0, "reduced_off_percent": {"worst": 0.03},
 "winner_ahead": null}]})";
  SolveOptions solve;
  solve.up_to = options.up_to;
  solve.fineness = options.fineness;
  solve.degree = options.degree;
  const std::string right = place_fingerprint(text.path, built_in_materials, solve);
  const std::string shown = page_with(right, json);
  for (const char *part : {"432.10", "at 150 mm (middle)", "2 candidates, 1 of them refused", "variant &lt;b&gt;"})
    EXPECT_NE(shown.find(part), std::string::npos) << part;
  EXPECT_NE(page_with("another", json).find("is of another search"), std::string::npos);
  const std::string broken = page_with(right, "{\"schema\": ");
  EXPECT_NE(broken.find("cannot be read"), std::string::npos);
  EXPECT_EQ(broken.find("432.10"), std::string::npos);
}

}  // namespace
}  // namespace stillbox
