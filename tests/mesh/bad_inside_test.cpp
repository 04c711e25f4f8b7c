// SPDX-License-Identifier: MIT
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

const std::string vent =
    "[[cut_out]]\nname = \"vent\"\non = \"back\"\nshape = \"round\"\ncentre = [100, 300]\ndiameter = 50\n";

std::string port(const std::string &lines) { return box + vent + "[[port]]\n" + lines; }

std::string lining(const std::string &lines) { return box + "[[lining]]\nname = \"felt\"\n" + lines; }

std::string filling(const std::string &lines) {
  return box + "[[filling]]\nname = \"wool\"\n" + lines + "\nflow_resistivity_pa_s_m2 = 5000\n";
}

std::vector<Mistake> port_mistakes() {
  return {
      {"port in no cut-out",
       port("cut_out = \"vemt\" #!\n"),
       {"key port[1].cut_out", "value \"vemt\"", "did you mean \"vent\""}},
      {"port without a cut-out", box + vent + "[[port]] #!\nlength = 100\n", {"port[1].cut_out"}},
      {"port beside a driver",
       box + vent + "[[driver]]\ncut_out = \"vent\"\nmass_kg = 0.5\n[[port]]\ncut_out = \"vent\" #!\n",
       {"key port[1].cut_out", "without a driver"}},
      {"two ports in one cut-out",
       port("cut_out = \"vent\"\n[[port]]\nname = \"second\"\ncut_out = \"vent\" #!\n"),
       {"key port[2].cut_out", "another port"}},
      {"port shorter than the wall",
       port("cut_out = \"vent\"\nlength = 10 #!\n"),
       {"key port[1].length", "value 10", "at least 18 mm"}},
      {"port into the opposite wall",
       port("cut_out = \"vent\"\nlength = 270 #!\n"),
       {"key port[1].length", "value 270", "18 mm .. 257 mm", "opposite wall"}},
      {"port wider than its cut-out",
       port("cut_out = \"vent\"\ndiameter = 60 #!\n"),
       {"key port[1].diameter", "value 60", "up to 50 mm"}},
      {"port into a brace",
       box + shelf("b", "at = 300") +
           "[[cut_out]]\nname = \"low\"\non = \"back\"\nshape = \"round\"\ncentre = [100, "
           "260]\ndiameter = 50\n[[brace]]\nname = \"rib\"\nkind = \"bar\"\nbetween = "
           "[\"left\", \"right\"]\nat = [200, 260]\nsection = [20, 20]\n[[port]]\ncut_out "
           "= \"low\"\nlength = 150 #!\n",
       {"key port[1].length", "runs into \"rib\""}},
      {"unknown inner end",
       port("cut_out = \"vent\"\ninner_end = \"flaired\" #!\n"),
       {"key port[1].inner_end", "plain, flared"}},
      {"unknown key of a port",
       port("cut_out = \"vent\"\nlenght = 100 #!\n"),
       {"key port[1].lenght", "did you mean \"length\""}},
      {"port without a cabinet",
       board("size = [200, 100]\n") + "[[port]]\ncut_out = \"vent\" #!\n",
       {"key port[1].cut_out", "[cabinet]"}},
  };
}

std::vector<Mistake> lining_mistakes() {
  return {
      {"lining on no wall",
       lining("on = [\"lid\"] #!\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n"),
       {"key lining[1].on", "\"lid\""}},
      {"lining on nothing",
       lining("on = [] #!\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n"),
       {"key lining[1].on"}},
      {"lining twice on a wall",
       lining("on = [\"left\"]\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n[[lining]]\nname = \"more\"\non = "
              "[\"left\"] #!\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n"),
       {"key lining[2].on", "one lining per wall"}},
      {"lining thicker than the room",
       lining("on = [\"left\"]\nthickness = 170 #!\nflow_resistivity_pa_s_m2 = 5000\n"),
       {"key lining[1].thickness", "value 170", "below 163 mm", "[[filling]]"}},
      {"lining without resistance",
       lining("on = [\"left\"]\nthickness = 10\nflow_resistivity_pa_s_m2 = 0 #!\n"),
       {"key lining[1].flow_resistivity_pa_s_m2", "1 .. 1e+06 Pa s/m2"}},
      {"lining without a cabinet",
       board("size = [200, 100]\n") +
           "[[lining]]\nname = \"felt\"\non = [\"left\"] #!\nthickness = 10\nflow_resistivity_pa_s_m2 = 5000\n",
       {"key lining[1].on", "[cabinet]"}},
      {"filling outside", filling("from = [10, 10, 390] #!"), {"key filling[1].from", "18 mm .. 382 mm in the height"}},
      {"filling the wrong way round",
       filling("from = [10, 100, 10] #!\nto = [180, 50, 300]"),
       {"filling[1].from", "low corner first"}},
      {"filling with two numbers", filling("from = [10, 10] #!"), {"key filling[1].from"}},
  };
}

TEST(BadInside, Ports) {
  for (const Mistake &mistake : port_mistakes()) expect_refused(mistake);
}

TEST(BadInside, Linings) {
  for (const Mistake &mistake : lining_mistakes()) expect_refused(mistake);
}

TEST(Inside, IsRead) {
  const CaseText text(
      box + vent +
      "[[port]]\ncut_out = \"vent\"\nlength = \"6 in\"\ndiameter = 44\ninner_end = \"flared\"\n"
      "[[lining]]\nname = \"felt\"\non = [\"left\", \"top\"]\nthickness = 12\nflow_resistivity_pa_s_m2 = "
      "9000\n[[filling]]\nname = \"wool\"\nto = [200, 300, 150]\nflow_resistivity_pa_s_m2 = 4000\n"
      "[[variant]]\nname = \"bare\"\nremove = [\"felt\", \"vent port\"]\n");
  const CaseFile file = text.read();
  const Structure &s = file.variants[0];
  ASSERT_EQ(s.ports.size(), 1u);
  EXPECT_EQ(s.ports[0].name, "vent port");
  EXPECT_NEAR(s.ports[0].length, 0.1524, 1e-12);
  EXPECT_NEAR(s.ports[0].area, M_PI * 0.022 * 0.022, 1e-12);
  EXPECT_TRUE(s.ports[0].flared_end);
  ASSERT_EQ(s.linings.size(), 2u);
  EXPECT_EQ(s.linings[0].walls.size(), 2u);
  EXPECT_NEAR(s.linings[0].thickness, 0.012, 1e-12);
  EXPECT_NEAR(s.linings[1].high.z(), 0.150, 1e-12);
  EXPECT_NEAR(s.linings[1].low.z(), 0.018, 1e-12);
  EXPECT_EQ(file.variants[1].ports.size(), 0u);
  EXPECT_EQ(file.variants[1].linings.size(), 1u);
}

}  // namespace
}  // namespace stillbox
