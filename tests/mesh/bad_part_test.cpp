// SPDX-License-Identifier: MIT
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

std::vector<Mistake> brace_mistakes() {
  return {
      {"brace outside the cabinet",
       box + shelf("b", "at = 500 #!"),
       {"key brace[1].at", "value 500", "9 mm .. 355 mm", "outside the cabinet"}},
      {"brace half in the wall", box + shelf("b", "at = 5 #!"), {"key brace[1].at", "value 5", "9 mm .. 355 mm"}},
      {"brace name twice",
       box + shelf("b", "at = 100") + "[[brace]]\nname = \"b\" #!\nkind = \"shelf\"\nnormal = \"height\"\nat = 200\n",
       {"key brace[2].name", "value \"b\"", "each name once"}},
      {"brace called like a wall",
       box + "[[brace]]\nname = \"left\" #!\nkind = \"shelf\"\nnormal = \"height\"\nat = 200\n",
       {"key brace[1].name", "name of a wall"}},
      {"braces in one place",
       box + shelf("b", "at = 100") + "[[brace]]\nname = \"c\" #!\nkind = \"shelf\"\nnormal = \"height\"\nat = 110\n",
       {"key brace[2].name", "same plane as \"b\""}},
      {"block that two others take together",
       box + block("b", "section = [30, 20]\nto = 100") + block("c", "section = [30, 20]\nfrom = 60") +
           "[[brace]]\nname = \"d\" #!\nkind = \"corner block\"\nedge = [\"baffle\", \"bottom\"]\nsection = [20, "
           "15]\nfrom = 40\nto = 120\n",
       {"key brace[3].name", "\"b\", \"c\" take its whole space together"}},
      {"unknown kind of brace",
       box + "[[brace]]\nname = \"b\"\nkind = \"shelv\" #!\n",
       {"key brace[1].kind", "did you mean \"shelf\""}},
      {"glued where it does not touch",
       box + shelf("b", "at = 100", "glued = [\"left\", \"top\"] #!\n"),
       {"key brace[1].glued", "value \"top\"", "does not touch"}},
      {"key of another brace",
       box + shelf("b", "at = 100", "stand_off = 30 #!\n"),
       {"key brace[1].stand_off", "unknown key"}},
      {"rim leaves no opening",
       box + "[[brace]]\nname = \"b\"\nkind = \"window\"\nnormal = \"height\"\nat = 100\nopenings = { rim = 90 } #!\n",
       {"key brace[1].openings.rim", "value 90", "79.5 mm"}},
      {"opening over the edge",
       box + "[[brace]]\nname = \"b\"\nkind = \"window\"\nnormal = \"height\"\nat = 100\nopenings = [{ centre = [20, "
             "100], size = [60, 60] }] #!\n",
       {"key brace[1].openings[1]", "the edge of \"b\""}},
      {"bar between neighbours",
       box + "[[brace]]\nname = \"b\"\nkind = \"bar\"\nbetween = [\"left\", \"top\"] #!\nat = [100, 100]\nsection = "
             "[20, 20]\n",
       {"key brace[1].between", "opposite walls"}},
      {"rib across its wall",
       box + "[[brace]]\nname = \"b\"\nkind = \"rib\"\non = \"left\"\nalong = \"width\" #!\nat = 100\nstand_off = 30\n",
       {"key brace[1].along", "value \"width\""}},
      {"rib that ends before it starts",
       box + "[[brace]]\nname = \"b\"\nkind = \"rib\"\non = \"left\"\nalong = \"height\"\nat = 100\nstand_off = "
             "30\nfrom = 200\nto = 100 #!\n",
       {"key brace[1].to", "ends before it starts"}},
      {"crossing of strangers",
       box + shelf("b", "at = 100") + "[[crossing]]\nbetween = [\"b\", \"c\"] #!\nkind = \"butt\"\n",
       {"key crossing[1].between", "value \"c\""}},
      {"crossing that is none",
       box + shelf("b", "at = 100") + shelf("c", "at = 200") +
           "[[crossing]]\nbetween = [\"b\", \"c\"] #!\nkind = \"butt\"\n",
       {"key crossing[1].between", "do not cross"}},
      {"brace without cabinet",
       board("size = [200, 100]\n") + "[[brace]]\nname = \"b\"\nkind = \"shelf\" #!\nnormal = \"height\"\nat = "
                                      "20\nmaterial = \"mdf\"\nthickness = 9\n",
       {"needs a [cabinet]"}},
      {"disc that touches",
       board("size = [200, 100]\n") +
           "[[board]]\nname = \"disc\" #!\nmaterial = \"mdf\"\nthickness = 9\ndiameter = 50\n",
       {"key board[2].name", "clear of every other board"}},
      {"axes not square",
       board("size = [200, 100]\nu = [1, 1, 0]\nv = \"y\" #!\n"),
       {"key board[1].v", "right angles"}},
      {"axis of nothing", board("size = [200, 100]\nu = [0, 0, 0] #!\n"), {"key board[1].u", "x, y, z"}},
      {"outline that crosses itself",
       board("outline = [[0, 0], [100, 100], [100, 0], [0, 120]] #!\n"),
       {"key board[1].outline", "cross or touch itself"}},
      {"two shapes",
       board("size = [200, 100]\ndiameter = 50 #!\n"),
       {"key board[1].diameter", "one of size, diameter, outline"}},
      {"edge of a disc",
       board("diameter = 300\n[[edge_support]]\non = \"plate\"\nedge = \"u low\" #!\nkind = \"clamped\"\n"),
       {"key edge_support[1].edge", "rectangular"}},
      {"unknown support",
       board("size = [300, 200]\n[[edge_support]]\non = \"plate\"\nkind = \"glued\" #!\n"),
       {"key edge_support[1].kind", "clamped, simply supported soft"}},
  };
}

std::vector<Mistake> cut_out_mistakes() {
  const std::string good_hole = hole("centre = [100, 100]");
  return {
      {"cut-out outside its board",
       box + hole("centre = [300, 100] #!"),
       {"key cut_out[1].centre", "the edge of \"baffle\""}},
      {"cut-out too close to the edge",
       box + hole("centre = [33, 100] #!"),
       {"key cut_out[1].centre", "with a web of 3 mm", "at least 5 mm"}},
      {"cut-out over a side wall",
       box + hole("centre = [45, 100] #!"),
       {"key cut_out[1].centre", "the board \"left\""}},
      {"cut-outs overlap",
       box + good_hole +
           "[[cut_out]]\nname = \"second\"\non = \"baffle\"\nshape = \"rectangle\"\ncentre = [100, 130] #!\nsize = "
           "[30, 30]\n",
       {"key cut_out[2].centre", "the cut-out \"hole\"", "overlaps"}},
      {"cut-out within another",
       box + good_hole +
           "[[cut_out]]\nname = \"second\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 100] #!\ndiameter = "
           "10\n",
       {"key cut_out[2].centre", "overlaps"}},
      {"thin web between cut-outs",
       box + good_hole +
           "[[cut_out]]\nname = \"second\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 162] #!\ndiameter = "
           "60\n",
       {"key cut_out[2].centre", "with a web of 2 mm"}},
      {"cut-out over a brace",
       box + shelf("b", "at = 100") + hole("centre = [100, 100] #!"),
       {"key cut_out[1].centre", "the board \"b\""}},
      {"cut-out close to a brace",
       box + shelf("b", "at = 100") + hole("centre = [100, 160] #!"),
       {"with a web of 3 mm", "the board \"b\""}},
      {"cut-out in nothing",
       box + "[[cut_out]]\nname = \"hole\"\non = \"bafle\" #!\nshape = \"round\"\ncentre = [100, 100]\ndiameter = 60\n",
       {"key cut_out[1].on", "did you mean \"baffle\""}},
      {"round with a size",
       box + hole("centre = [100, 100]", "diameter = 60\nsize = [60, 60] #!"),
       {"key cut_out[1].size", "remove this key"}},
      {"round without a diameter",
       box + "[[cut_out]] #!\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\ncentre = [100, 100]\n",
       {"key cut_out[1].diameter", "missing", "2 .. 2000 mm"}},
      {"centre with three numbers", box + hole("centre = [100, 100, 5] #!"), {"key cut_out[1].centre", "2 lengths"}},
      {"centre as one number", box + hole("centre = 100 #!"), {"key cut_out[1].centre", "2 lengths"}},
      {"driver on unknown cut-out",
       box + good_hole + "[[driver]]\ncut_out = \"hloe\" #!\nmass_kg = 1\n",
       {"key driver[1].cut_out", "value \"hloe\"", "did you mean \"hole\""}},
      {"two drivers in one cut-out",
       box + good_hole +
           "[[driver]]\ncut_out = \"hole\"\nmass_kg = 1\n[[driver]]\nname = \"d\"\ncut_out = \"hole\" #!\nmass_kg = "
           "1\n",
       {"key driver[2].cut_out", "one driver per cut-out"}},
      {"driver mass in grams",
       box + good_hole + "[[driver]]\ncut_out = \"hole\"\nmass_kg = 1500 #!\n",
       {"key driver[1].mass_kg", "value 1500", "0.001 .. 200 kg"}},
      {"impossible inertia",
       box + good_hole +
           "[[driver]]\ncut_out = \"hole\"\nmass_kg = 1\nmounting = \"rigid basket\"\ninertia_kg_m2 = [0.001, 0.001, "
           "0.01] #!\n",
       {"key driver[1].inertia_kg_m2", "sum of the two others"}},
      {"inertia of a plain mass",
       box + good_hole + "[[driver]]\ncut_out = \"hole\"\nmass_kg = 1\ninertia_kg_m2 = [0.001, 0.001, 0.001] #!\n",
       {"key driver[1].inertia_kg_m2", "rigid basket"}},
      {"mass over a cut-out",
       box + good_hole + "[[mass]]\nname = \"m\"\non = \"baffle\"\nat = [100, 100] #!\nmass_kg = 1\n",
       {"key mass[1].at", "over a cut-out"}},
      {"mass where a wall is glued on",
       box + "[[mass]]\nname = \"m\"\non = \"baffle\"\nat = [10, 100] #!\nmass_kg = 1\n",
       {"key mass[1].at", "\"left\" is glued on"}},
      {"mass at and over an area",
       box + "[[mass]]\nname = \"m\"\non = \"top\"\nat = [100, 100]\narea = { centre = [55, 55], size = [10, 10] } "
             "#!\nmass_kg = 1\n",
       {"key mass[1].area", "one of at and area"}},
      {"foot beside the cabinet",
       box + "[[foot]]\non = \"bottom\"\nat = [300, 100] #!\nstiffness_n_m = 1e5\n",
       {"key foot[1].at", "outside the board"}},
      {"foot without stiffness",
       box + "[[foot]]\non = \"bottom\"\nat = [100, 100]\nstiffness_n_m = 0 #!\n",
       {"key foot[1].stiffness_n_m", "more than 0"}},
      {"low face of a wall",
       box + "[[mass]]\nname = \"m\"\non = \"top\"\nface = \"low\" #!\nat = [100, 100]\nmass_kg = 1\n",
       {"key mass[1].face", "outer, inner"}},
  };
}

TEST(BadInput, BracesAndBoards) {
  for (const Mistake &mistake : brace_mistakes()) expect_refused(mistake);
}
TEST(BadInput, CutOutsAndFittings) {
  for (const Mistake &mistake : cut_out_mistakes()) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
