// SPDX-License-Identifier: MIT
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

std::vector<Mistake> sheet_mistakes() {
  const std::string felt = "material = \"bitumen-sheet\"\nthickness = 2\n";
  const auto sheet = [&](const std::string &rest, const std::string &on = "left") {
    return "[[sheet]]\nname = \"s\"\non = [\"" + on + "\"]\n" + rest;
  };
  const auto area = [](const std::string &centre, const std::string &size) {
    return "area = { centre = [" + centre + "], size = [" + size + "] }";
  };
  const std::string on_baffle = box + hole("centre = [100, 200]") + sheet("", "baffle");
  const std::string rib =
      "[[brace]]\nname = \"rib\"\nkind = \"rib\"\non = \"bottom\"\nalong = \"depth\"\nstand_off = 30\n";
  return {
      {"patch beyond the clear face",
       box + sheet(area("50, 100", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area.centre", "value [50, 100]", "18 mm .. 282 mm across, 18 mm .. 382 mm up",
        "reaches beyond the inner face of \"left\""}},
      {"patch beyond an outer face",
       box + sheet("face = \"outer\"\n" + area("300, 100", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area.centre", "the outer face of \"left\""}},
      {"patch beyond a brace",
       box + shelf("b", "at = 100") + sheet("face = \"upper\"\n" + area("100, 100", "150, 80") + " #!\n" + felt, "b"),
       {"0 mm .. 164 mm across, 0 mm .. 264 mm up", "the upper face of \"b\""}},
      {"patches that overlap",
       box + sheet("areas = [\n{ centre = [100, 100], size = [50, 50] },\n{ centre = [140, 140], size = [50, 50] } "
                   "#!\n]\n" +
                   felt),
       {"key sheet[1].areas[2].centre", "sheets that do not overlap", "already carries \"s on left patch 1\""}},
      {"patch on a covered face",
       box + sheet(felt) + "[[sheet]]\nname = \"r\"\non = [\"left\"]\ncovers_percent = 20 #!\n" + felt,
       {"key sheet[2].covers_percent", "value 20", "already carries \"s on left\"", "use layers"}},
      {"edge through a cut-out",
       on_baffle + area("100, 230", "100, 60") + " #!\n" + felt,
       {"key sheet[1].area.centre", "at least 5 mm", "runs through the cut-out \"hole\"", "cover it wholly"}},
      {"patch beside a cut-out, too near",
       on_baffle + area("100, 267", "100, 70") + " #!\n" + felt,
       {"at least 5 mm", "too close to the cut-out \"hole\"", "least web"}},
      {"patch over a cut-out with too narrow a rim",
       on_baffle + area("100, 200", "66, 100") + " #!\n" + felt,
       {"at least 5 mm", "too close to the cut-out \"hole\""}},
      {"patch over an edge of an opening",
       box + shelf("b", "at = 100") + sheet("covers_percent = 50 #!\n" + felt, "w") +
           "[[brace]]\nname = \"w\"\nkind = \"window\"\nnormal = \"depth\"\nat = 100\n",
       {"key sheet[1].covers_percent", "cut-out \"opening 1\" of \"w\""}},
      {"patch under a brace",
       box + shelf("b", "at = 182") + sheet(area("150, 200", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area.centre", "clear of what is glued", "\"b\" is glued there on \"left\"",
        "cover the whole face"}},
      {"half-covered face under a brace",
       box + shelf("b", "at = 182") + sheet("covers_percent = 50 #!\n" + felt),
       {"key sheet[1].covers_percent", "value 50", "\"b\" is glued there"}},
      {"patch of 9 mm",
       box + sheet(area("150, 200", "9, 80") + " #!\n" + felt),
       {"key sheet[1].area.size", "value 9", "10 .. 5000 mm"}},
      {"share of a strip below 10 mm",
       box + rib + "at = 82\n" + sheet("covers_percent = 5 #!\n" + felt, "rib"),
       {"key sheet[1].covers_percent", "value 5", "12 .. 100 %", "narrower than 10 mm"}},
      {"no share", box + sheet("covers_percent = 0 #!\n" + felt), {"key sheet[1].covers_percent", "1 .. 100 %"}},
      {"more than all", box + sheet("covers_percent = 101 #!\n" + felt), {"value 101", "1 .. 100 %"}},
      {"share and area",
       box + sheet("covers_percent = 50\n" + area("150, 200", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area", "one of covers_percent, area, areas"}},
      {"area without a size",
       box + sheet("area = { centre = [150, 200] } #!\n" + felt),
       {"key sheet[1].area.size", "missing"}},
      {"areas of nothing", box + sheet("areas = [] #!\n" + felt), {"key sheet[1].areas", "at least one"}},
      {"area in the words of a mass",
       box + sheet("area = { centre = [150, 200], size = [20, 20], from = [1, 2] } #!\n" + felt),
       {"key sheet[1].area.from", "unknown key"}},
      {"sheet thicker than the gap to a brace",
       box + rib + "at = 10\nthickness = 10\n" + sheet("material = \"bitumen-sheet\"\nthickness = 8 #!\n"),
       {"key sheet[1].thickness", "value 8 mm", "up to 5 mm", "\"rib\" stands 5 mm off"}},
      {"sheets thicker than the gap between two braces",
       box + shelf("b", "at = 100") + shelf("c", "at = 123") +
           "[[sheet]]\nname = \"s\"\non = [\"b\", \"c\"]\nface = \"both\"\nmaterial = "
           "\"bitumen-sheet\"\nthickness = 3 #!\n",
       {"key sheet[1].thickness", "value 3 mm", "up to 2 mm", "\"s on b\" stands 2 mm off"}},
      {"a face that a wall does not have",
       box + sheet("face = \"upper\" #!\n" + felt),
       {"key sheet[1].face", "inner, outer, both", "\"left\" has no such face"}},
      {"a face that a brace does not have",
       box + shelf("b", "at = 100") + sheet("face = \"outer\" #!\n" + felt, "b"),
       {"key sheet[1].face", "lower, upper, low, high, both"}},
      {"an unknown side", box + sheet("face = \"outter\" #!\n" + felt), {"did you mean \"outer\""}},
      {"sheet on an unknown board",
       box + "[[sheet]]\nname = \"s\"\non = [\"lef\"] #!\n" + felt,
       {"key sheet[1].on", "value \"lef\"", "did you mean \"left\""}},
      {"sheet on nothing", box + "[[sheet]]\nname = \"s\"\non = [] #!\n" + felt, {"key sheet[1].on", "name the"}},
      {"sheet on a disc",
       board("diameter = 200\n") + "[[sheet]]\nname = \"s\"\non = [\"plate\"] #!\n" + felt,
       {"key sheet[1].on", "rectangular boards", "layers instead"}},
      {"sheet on a loose side",
       board("size = [300, 200]\nglued = [\"n low\"]\n") + "[[sheet]]\nname = \"s\"\non = [\"plate\"] #!\n" + felt,
       {"key sheet[1].on", "left loose"}},
      {"core without a constraining layer",
       box + "[[sheet]] #!\nname = \"s\"\non = [\"left\"]\ncore = { material = \"butyl-core\", thickness = 1 }\n",
       {"key sheet[1].constraining", "missing"}},
      {"core and material",
       box + sheet("core = { material = \"butyl-core\", thickness = 1 }\nconstraining = { material = \"steel\", "
                   "thickness = 1 }\nmaterial = \"mdf\" #!\n"),
       {"key sheet[1].material", "core and constraining"}},
      {"mass across the edge of a sheet",
       box + sheet(area("150, 200", "80, 80") + "\n" + felt) +
           "[[mass]]\nname = \"m\"\non = \"left\"\nmass_kg = 1\narea = { centre = [200, 205], size = [100, 10] } #!\n",
       {"key mass[1].area", "across the edge"}},
      {"cut-out moved under the edge of a patch",
       on_baffle + area("100, 300", "100, 100") + " #!\n" + felt +
           "[[variant]]\nname = \"v\"\nmove = [{ name = \"hole\", centre = [100, 240] }]\n",
       {"in variant \"v\"", "key sheet[1].area.centre", "cut-out \"hole\""}},
      {"whole sheet moved",
       box + sheet(felt) + "[[variant]]\nname = \"v\"\nmove = [{ name = \"s\", centre = [100, 240] }] #!\n",
       {"in variant \"v\"", "key sheet[1].area.size", "missing"}},
  };
}

std::string bond(const std::string &lines) { return "[[bond]]\nname = \"e\"\n" + lines + "\n"; }

std::vector<Mistake> bond_mistakes() {
  const std::string edge = "between = [\"back\", \"top\"]\n", screws = "kind = \"screwed\"\nspacing = 100\n";
  const std::string braced = box + shelf("b", "at = 100") + "\n";
  return {
      {"bond without a name", box + "[[bond]] #!\n" + edge, {"key bond[1].name", "missing"}},
      {"bond with the name of a brace",
       braced + "[[bond]]\nname = \"b\" #!\n" + edge,
       {"key bond[1].name", "each name once"}},
      {"bond of nothing",
       box + "[[bond]] #!\nname = \"e\"\n",
       {"key bond[1].between", "missing", "either between or of"}},
      {"bond between and of", braced + bond(edge + "of = \"b\" #!"), {"key bond[1].of", "remove one of the two"}},
      {"bond of three boards",
       box + bond("between = [\"back\", \"top\", \"left\"] #!"),
       {"key bond[1].between", "two names"}},
      {"bond of a board with itself",
       box + bond("between = [\"back\", \"back\"] #!"),
       {"key bond[1].between", "remove the repetition"}},
      {"bond of the unknown",
       box + bond("between = [\"back\", \"topp\"] #!"),
       {"key bond[1].between", "value \"topp\"", "did you mean \"top\""}},
      {"bond of an unknown brace", box + bond("of = \"b\" #!"), {"key bond[1].of", "no board of this name"}},
      {"bond of opposite walls",
       box + bond("between = [\"left\", \"right\"] #!"),
       {"key bond[1].between", "value \"left\" and \"right\"", "share no face"}},
      {"bond where another board lies between",
       box + block("c", "section = [21, 18]") + block("d", "section = [15, 30]") +
           bond("between = [\"d\", \"bottom\"] #!\n" + screws),
       {"key bond[1].between", "other boards take the place"}},
      {"bond of a mitred edge",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"mitre\"\n" +
           bond("between = [\"top\", \"left\"] #!\n" + screws),
       {"key bond[1].between", "mitred"}},
      {"bond of half-lapped shelves",
       braced + "[[brace]]\nname = \"c\"\nkind = \"shelf\"\nnormal = \"width\"\nat = 80\n" +
           bond("between = [\"b\", \"c\"] #!\n" + screws),
       {"key bond[1].between", "half-lapped", "kind \"butt\""}},
      {"bond of a side that is not glued",
       braced + "glued = [\"left\"]\n" + bond("between = [\"b\", \"right\"] #!\n" + screws),
       {"key bond[1].between", "loose"}},
      {"edge bonded twice",
       box + bond(edge + screws) + "[[bond]]\nname = \"f\"\nbetween = [\"top\", \"back\"] #!\n",
       {"key bond[2].between", "each edge once", "line 6"}},
      {"edge bonded twice through a board",
       braced + bond("between = [\"b\", \"left\"]\n" + screws) + "[[bond]]\nname = \"f\"\nof = \"b\" #!\n" + screws,
       {"key bond[2].of", "each edge once"}},
      {"unknown kind of bond",
       box + bond(edge + "kind = \"gasket\" #!"),
       {"key bond[1].kind", "glued, screwed, gasketed, soft, loose", "did you mean \"gasketed\""}},
      {"glued and yielding",
       box + bond(edge + "normal_stiffness_mn_m2 = 5 #!"),
       {"key bond[1].normal_stiffness_mn_m2", "a glued edge is rigid"}},
      {"glued with screws", box + bond(edge + "spacing = 100 #!"), {"key bond[1].spacing", "a glued edge is rigid"}},
      {"loose with a loss factor",
       box + bond(edge + "kind = \"loose\"\nloss_factor = 0.1 #!"),
       {"key bond[1].loss_factor", "value 0.1", "kind = \"loose\""}},
      {"screws without a spacing",
       box + "[[bond]] #!\nname = \"e\"\n" + edge + "kind = \"screwed\"\n",
       {"key bond[1].spacing", "missing", "5 .. 2000 mm"}},
      {"screws with a stiffness",
       box + bond(edge + screws + "shear_stiffness_mn_m2 = 5 #!"),
       {"key bond[1].shear_stiffness_mn_m2", "\"gasketed\" or \"soft\""}},
      {"screws of no stiffness",
       box + bond(edge + screws + "slip_modulus_n_mm = 0 #!"),
       {"key bond[1].slip_modulus_n_mm", "value 0", "N/mm"}},
      {"negative stiffness",
       box + bond(edge + "kind = \"gasketed\"\nnormal_stiffness_mn_m2 = 5\nshear_stiffness_mn_m2 = -5 #!"),
       {"key bond[1].shear_stiffness_mn_m2", "value -5", "MN/m2"}},
      {"gasket without a shear stiffness",
       box + "[[bond]] #!\nname = \"e\"\n" + edge + "kind = \"gasketed\"\nnormal_stiffness_mn_m2 = 5\n",
       {"key bond[1].shear_stiffness_mn_m2", "missing"}},
      {"soft without a loss factor",
       box + "[[bond]] #!\nname = \"e\"\n" + edge +
           "kind = \"soft\"\nnormal_stiffness_mn_m2 = 5\nshear_stiffness_mn_m2 = 5\n",
       {"key bond[1].loss_factor", "missing", "0 .. 3"}},
      {"unknown key of a bond", box + bond(edge + "stiffness = 3 #!"), {"key bond[1].stiffness", "unknown key"}},
      {"bond of a board that a variant moved away",
       without_cabinet("[[board]]\nname = \"p\"\nsize = [300, 200]\nmaterial = \"mdf\"\nthickness = 18\n"
                       "[[board]]\nname = \"q\"\norigin = [0, 0, 18]\nsize = [300, 200]\nmaterial = \"mdf\"\n"
                       "thickness = 18\n") +
           bond("between = [\"p\", \"q\"] #!\n" + screws) +
           "[[variant]]\nname = \"v\"\nmove = [{ name = \"q\", origin = [0, 0, 19] }]\n",
       {"in variant \"v\"", "key bond[1].between", "share no face"}},
  };
}

TEST(BadInput, Sheets) {
  for (const Mistake &mistake : sheet_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Bonds) {
  for (const Mistake &mistake : bond_mistakes()) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
