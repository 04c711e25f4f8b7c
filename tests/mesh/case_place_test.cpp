// SPDX-License-Identifier: MIT
// The [place] table: what it makes, and every mistake.
#include "mesh/case_place.h"

#include "mesh/grid.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

const std::string braced = box + R"([[cut_out]]
name = "hole"
on = "baffle"
shape = "round"
centre = [100, 120]
diameter = 120
[[driver]]
cut_out = "hole"
mass_kg = 1
depth_behind_face = 80
[[brace]]
name = "window"
kind = "window"
normal = "height"
at = 250
openings = { rim = 40 }
)";

std::string with_place(const std::string &lines) { return braced + "[place]\n" + lines; }
std::string varied(const std::string &lines) { return "[[place.vary]]\nname = \"window\"\nkey = \"at\"\n" + lines; }

struct Asked {
  CaseText text;
  CaseTrees trees;
  PlaceRequest request;
  explicit Asked(const std::string &case_text)
      : text(case_text), trees(load_case_trees(text.path, built_in_materials)) {
    text.read();
    Problems problems;
    const Node tree = load_tree(text.path);
    request = read_place_request({&problems, &tree, "", {"case"}}, {"base"});
    EXPECT_EQ(problems.message(), "");
  }
  Structure at(const PlaceLine &line, double p, Problems &problems) const {
    return changed_structure(trees, "base", place_changes(request, line, p), problems);
  }
};

TEST(CasePlace, LinesAreAllCombinationsAlongOneRow) {
  const Asked asked(
      with_place("aim = \"shortest ring\"\nband_hz = [100, 900]\n" + varied("from = 200\nto = 230\nstep = 10\n") +
                 "[[place.vary]]\nname = \"window\"\nkey = \"openings.rim\"\nvalues = [30, 40, \"2 in\"]\n"));
  EXPECT_EQ(asked.request.aim, PlaceAim::shortest_ring);
  EXPECT_EQ(asked.request.band_high, 900);
  const std::vector<PlaceLine> lines = place_lines(asked.request);
  ASSERT_EQ(lines.size(), 3u);
  EXPECT_EQ(lines[0].label, "rim 30");
  EXPECT_EQ(lines[0].along, (std::vector<double>{200, 210, 220, 230}));
  EXPECT_EQ(toml_of(place_changes(asked.request, lines[2], 205)),
            "{ \"window\" = { \"at\" = 205, \"openings\" = { \"rim\" = \"2 in\" } } }");
  Problems problems;
  const Structure s = asked.at(lines[2], 205, problems);
  EXPECT_EQ(problems.message(), "");
  const Board &window = s.boards.back();
  EXPECT_NEAR(world_bounds(window).first.z(), 0.018 + 0.205 - 0.009, 1e-9);
  EXPECT_NEAR(window.cut_outs[0].width, 0.164 - 2 * 0.0508, 1e-9);
}

TEST(CasePlace, PairsOfLengthsGiveOneLineForEachFirst) {
  const Asked asked(braced +
                    "[[brace]]\nname = \"bar\"\nkind = \"bar\"\nbetween = [\"left\", \"right\"]\nat = [100, 300]\n"
                    "section = [20, 20]\n[[place.vary]]\nname = \"bar\"\nkey = \"at\"\nfrom = [80, 290]\n"
                    "to = [120, 330]\nstep = [20, 20]\n");
  const std::vector<PlaceLine> lines = place_lines(asked.request);
  ASSERT_EQ(lines.size(), 3u);
  EXPECT_EQ(lines[1].label, "at 100");
  EXPECT_EQ(lines[1].along, (std::vector<double>{290, 310, 330}));
  EXPECT_EQ(toml_of(place_changes(asked.request, lines[1], 312.5)), "{ \"bar\" = { \"at\" = [100, 312.5] } }");
}

TEST(CasePlace, ACandidateInTheWayOfACutOutIsAProblem) {
  const Asked asked(with_place(varied("from = 100\nto = 300\nstep = 10\n")));
  Problems problems;
  asked.at(place_lines(asked.request)[0], 110, problems);
  EXPECT_NE(problems.message().find("hole"), std::string::npos);
}

TEST(CasePlace, RulesOfTheCandidates) {
  const Asked asked(with_place(varied("from = 180\nto = 300\nstep = 10\n")));
  const PlaceLine line = place_lines(asked.request)[0];
  Problems problems;
  const Structure s = asked.at(line, 250, problems);
  EXPECT_EQ(driver_depths(asked.trees, "base", s), (std::vector<double>{0.08}));
  PlaceRequest request = asked.request;
  EXPECT_EQ(place_objection(request, s, {0.08}), "");
  request.most_mass = 1;
  EXPECT_NE(place_objection(request, s, {}).find("most_mass_kg"), std::string::npos);
  request = asked.request;
  request.least_volume = 1;
  EXPECT_NE(place_objection(request, s, {}).find("least_volume_l"), std::string::npos);
  request = asked.request;
  // Open: (164 - 80) x (264 - 80) of 164 x 264 mm, 35.7 %.
  request.least_open = 0.36;
  EXPECT_NE(place_objection(request, s, {}).find("35.7 %"), std::string::npos);
  request.least_open = 0.35;
  EXPECT_EQ(place_objection(request, s, {}), "");
  // 164 mm at its narrowest does not pass through 120 mm.
  request.insert = "through a cut-out";
  EXPECT_NE(place_objection(request, s, {}).find("does not pass"), std::string::npos);
}

TEST(CasePlace, ADriverBehindItsHoleIsKeptClear) {
  // The brace is loose in front, so that its front edge may lie behind the hole; the driver is deeper than the gap.
  const Asked asked(box + R"([[cut_out]]
name = "hole"
on = "baffle"
shape = "round"
centre = [100, 120]
diameter = 100
[[driver]]
cut_out = "hole"
mass_kg = 1
[[brace]]
name = "bar"
kind = "bar"
between = ["left", "right"]
at = [60, 102]
section = [20, 20]
[[place.vary]]
name = "bar"
key = "at"
values = [[60, 102], [120, 102], [60, 180]]
)");
  const std::vector<PlaceLine> lines = place_lines(asked.request);
  ASSERT_EQ(lines.size(), 3u);
  Problems problems;
  const auto says = [&](int line) { return place_objection(asked.request, asked.at(lines[line], 0, problems), {0.1}); };
  EXPECT_NE(says(0).find("driver"), std::string::npos);  // 50 .. 70 mm behind the baffle's back, driver to 82 mm
  EXPECT_EQ(says(1), "");                                // 110 .. 130 mm
  EXPECT_EQ(says(2), "");                                // above it
  EXPECT_EQ(problems.message(), "");
}

class CasePlaceMistakes : public ::testing::TestWithParam<Mistake> {};

TEST_P(CasePlaceMistakes, GiveOneMessage) {
  const Mistake &m = GetParam();
  const CaseText text(m.text);
  try {
    text.read();
    FAIL() << "was accepted";
  } catch (const CaseError &error) {
    const std::string message = error.what();
    for (const std::string &part : m.parts) EXPECT_NE(message.find(part), std::string::npos) << message;
    EXPECT_EQ(std::count(message.begin(), message.end(), '\n'), 0) << message;
  }
}

INSTANTIATE_TEST_SUITE_P(
    All, CasePlaceMistakes,
    ::testing::Values(
        Mistake{"nothing", with_place("aim = \"shortest ring\"\n"), {"vary", "say what is varied"}},
        Mistake{"aim", with_place("aim = \"best\"\n" + varied("values = [200]\n")), {"aim", "best", "shortest ring"}},
        Mistake{"variant", with_place("variant = \"bse\"\n" + varied("values = [200]\n")), {"variant", "bse", "base"}},
        Mistake{"band", with_place("band_hz = [900, 100]\n" + varied("values = [200]\n")), {"band_hz", "low < high"}},
        Mistake{"order", with_place(varied("from = 300\nto = 200\nstep = 5\n")), {"to", "from <= to"}},
        Mistake{"step", with_place(varied("from = 200\nto = 300\nstep = 0\n")), {"step", "0.01"}},
        Mistake{"both", with_place(varied("from = 200\nto = 300\nstep = 5\nvalues = [1]\n")), {"values", "remove one"}},
        Mistake{"pairs", with_place(varied("from = [200, 1]\nto = 300\nstep = 5\n")), {"from", "equally many"}},
        Mistake{"many", with_place(varied("from = 0\nto = 4000\nstep = 0.1\n")), {"step", "20000"}},
        Mistake{"unknown", with_place("ain = \"shortest ring\"\n" + varied("values = [200]\n")), {"ain", "aim"}},
        Mistake{
            "compare", with_place("compare = [\"bas\"]\n" + varied("values = [200]\n")), {"compare", "bas", "base"}},
        Mistake{"empty", with_place(varied("values = []\n")), {"values", "at least one"}}),
    [](const auto &m) { return std::string(m.param.name); });

}  // namespace
}  // namespace stillbox
