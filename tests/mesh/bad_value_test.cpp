// SPDX-License-Identifier: MIT
// Values of the wrong kind or size: texts, lists and tables of a case file, of cabinets by [shape] and of variants.
#include "mesh/keys.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

const std::string shape =
    "[shape]\nfootprint = [[0, 0], [200, 0], [150, 240], [50, 240]]\nwalls = [\"baffle\", \"right\", \"back\", "
    "\"left\"]\nheight = 300\nboard = { material = \"mdf\", thickness = 16 }\n";

TEST(BadValue, TextsAndLists) {
  const std::vector<Mistake> mistakes = {
      {"number for a word", box + "[[brace]]\nname = \"b\"\nkind = 5 #!\n", {"value 5", "give a text in quotes"}},
      {"long text",
       box + shelf(std::string(81, 'b'), "at = 100").insert(95, "#!"),
       {"key brace[1].name", "up to 80 characters", "shorten it"}},
      {"word that is none",
       box + "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"heart\" #!\ncentre = [100, 200]\nsize = [40, "
             "40]\n",
       {"key cut_out[1].shape", "value \"heart\"", "round", "slot", "use one of these words"}},
      {"number in a list of words",
       box + shelf("b", "at = 100", "glued = [\"left\", 5] #!\n"),
       {"key brace[1].glued", "value 5", "give texts in quotes"}},
      {"word in a list that is none",
       box + shelf("b", "at = 100", "glued = [\"left\", \"everywhere\"] #!\n"),
       {"key brace[1].glued", "value \"everywhere\"", "use one of these words"}},
      {"word twice",
       box + shelf("b", "at = 100", "glued = [\"left\", \"left\"] #!\n"),
       {"key brace[1].glued", "each one once", "remove the repetition"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

// Keys that had another name once: one message, with the new one.
TEST(BadValue, EarlierNamesOfKeys) {
  const std::string rib = "[[brace]]\nname = \"r\"\nkind = \"rib\"\nalong = \"height\"\nat = 100\nstand_off = 30\n";
  const std::string crossed = shelf("b", "at = 100") +
                              "[[brace]]\nname = \"c\"\nkind = \"shelf\"\nnormal = \"depth\"\nat = 100\n"
                              "[[crossing]]\nkind = \"butt\"\n";
  const std::vector<Mistake> mistakes = {
      {"wall of a rib", box + rib + "wall = \"left\" #!\n", {"key brace[1].wall", "now called \"on\"", "glued on"}},
      {"boards of a crossing",
       box + crossed + "boards = [\"b\", \"c\"] #!\n",
       {"key crossing[1].boards", "now called \"between\""}},
      {"board of an edge support",
       board("size = [200, 100]\n") + "[[edge_support]]\nkind = \"clamped\"\nboard = \"plate\" #!\n",
       {"key edge_support[1].board", "now called \"on\""}},
      {"side of a sheet",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\nside = \"outer\" "
             "#!\n",
       {"key sheet[1].side", "now called \"face\""}},
      {"what a variant builds on",
       box + "[[variant]]\nname = \"v\"\n[[variant]]\nname = \"w\"\nfrom = \"v\" #!\n",
       {"key variant[2].from", "now called \"based_on\"", "earlier variant"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
  EXPECT_EQ(renamed_to({"solids", "solid named"}, "part"), "kind");
  EXPECT_EQ(renamed_to({"brace", "brace shelf"}, "wall"), "");
  const CaseText file(box +
                      "[[mass]]\nname = \"m\"\non = \"left\"\nmass_kg = 1\narea = { from = [9, 9], to = [19, 19] }\n");
  try {
    file.read();
    ADD_FAILURE() << "was accepted";
  } catch (const CaseError &error) {
    const std::string what = error.what();
    EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 1) << what;
    for (const char *part :
         {"key mass[1].area.from", "\"centre\": Its middle", "key mass[1].area.to", "\"size\": How far"})
      EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
  }
}

// No earlier name is a key of today in the same table, and every new one is declared.
TEST(BadValue, EarlierNamesAreNoKeys) {
  int renamed = 0;
  for (const KeyGroup &group : all_key_groups())
    for (const char *old : {"from", "to", "wall", "boards", "board", "side", "part"})
      if (const std::string now = renamed_to({group.name}, old); !now.empty()) {
        ++renamed;
        EXPECT_EQ(find_key({group.name}, old), nullptr) << group.name << " " << old;
        EXPECT_NE(find_key({group.name}, now), nullptr) << group.name << " " << now;
      }
  EXPECT_EQ(renamed, 9);
}

TEST(BadValue, Tables) {
  const std::vector<Mistake> mistakes = {
      {"number for a table", without_cabinet("cabinet = 5 #!\n"), {"key cabinet", "a table", "write it as [cabinet]"}},
      {"number for tables",
       without_cabinet("brace = 5 #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board + "\n"),
       {"key brace", "a list of tables", "write each as [[brace]]"}},
      {"numbers for tables",
       without_cabinet("brace = [5] #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board + "\n"),
       {"key brace[1]", "value 5", "write each item as [[brace]]"}},
      {"too many tables",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\nareas = [" +
           repeated(51, "{ centre = [100, 100], size = [20, 20] }, ") + "] #!\n",
       {"key sheet[1].areas", "51 items", "up to 50", "use fewer"}},
      {"patch over the edge",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\narea = { centre = "
             "[30, 200], size = [40, 40] } #!\n",
       {"key sheet[1].area", "reaches beyond", "make it smaller"}},
      {"number for the boards of a cabinet",
       cabinet(good_size, "5 #!"),
       {"key cabinet.board", "value 5", "write it as [cabinet.board]"}},
      {"number for the boards of a shape",
       without_cabinet(shape.substr(0, shape.find("board")) + "board = 5 #!\n"),
       {"key shape.board", "value 5", "write it as [shape.board]"}},
      {"number for areas",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\nareas = 5 #!\n",
       {"key sheet[1].areas", "a list of tables"}},
      {"no areas",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 3\nareas = [] #!\n",
       {"key sheet[1].areas", "list at least one"}},
      {"number for a wall",
       cabinet(good_size, good_board, "wall.left = 5 #!\n"),
       {"key cabinet.wall.left", "value 5", "[cabinet.wall.left]"}},
      {"number for a wall of a shape",
       without_cabinet(shape + "wall.left = 5 #!\n"),
       {"key shape.wall.left", "value 5", "[shape.wall.left]"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

TEST(BadValue, CutOutsJointsAndBonds) {
  const std::vector<Mistake> mistakes = {
      {"no thickness",
       cabinet(good_size, "{ material = \"mdf\" } #!"),
       {"thickness", "add the key thickness, or layers"}},
      {"size of a round hole",
       box + hole("centre = [100, 200]", "diameter = 60\nsize = [60, 60] #!"),
       {"key cut_out[1].size", "only diameter", "remove this key"}},
      {"round hole without diameter",
       box + "#!" + hole("centre = [100, 200]", ""),
       {"key cut_out[1].diameter", "add the key diameter"}},
      {"slot that is round",
       box +
           "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"slot\"\ncentre = [100, 200]\nsize = [40, 40] #!\n",
       {"key cut_out[1].size", "one side longer", "shape = \"round\""}},
      {"joint through a third wall",
       cabinet(good_size, good_board,
               "[[cabinet.joint]]\nedge = [\"baffle\", \"left\"]\nkind = \"butt\"\nthrough = \"top\" #!\n"),
       {"key cabinet.joint[1].through", "value \"top\"", "name one of the two walls"}},
      {"bond of a loose side",
       box + shelf("b", "at = 100", "glued = [\"left\", \"right\"]\n") +
           "[[bond]]\nname = \"w\"\nbetween = [\"b\", \"baffle\"] #!\nkind = \"screwed\"\nspacing = 80\n",
       {"key bond[1].between", "glued", "leaves this side loose"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

TEST(BadValue, Shapes) {
  const std::vector<Mistake> mistakes = {
      {"arc of no size",
       without_cabinet(shape + "wall.left.radius = 3 #!\n"),
       {"5 mm and more", "use 0 for a flat wall"}},
      {"order of some walls",
       without_cabinet(shape + "run_through = [\"top\", \"baffle\"] #!\n"),
       {"key shape.run_through", "all of baffle", "name every wall once"}},
      {"chamfer between walls that do not meet",
       without_cabinet(shape + "[[shape.chamfer]]\nedge = [\"baffle\", \"back\"] #!\nsize = 4\n"),
       {"key shape.chamfer[1].edge", "meet at an edge", "two flat neighbours"}},
      {"hole in a bent wall",
       without_cabinet(shape + "wall.left.radius = 400\n[[cut_out]]\nname = \"hole\"\non = \"left\"\nshape = "
                               "\"round\"\ncentre = [120, 150] #!\ndiameter = 40\n"),
       {"value \"hole\"", "flat walls", "move it to a flat wall"}},
      {"no such STEP file",
       without_cabinet("[solids]\nfile = \"none.step\" #!\n"),
       {"key solids.file", "value \"none.step\"", "a STEP file"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

TEST(BadValue, Variants) {
  const std::string head = box + shelf("b", "at = 100") + "[[variant]]\nname = \"v\"\n";
  const std::vector<Mistake> mistakes = {
      {"number for changes", head + "replace.b = 5 #!\n", {"key variant[1].replace.b", "{ key = value }"}},
      {"number for additions", head + "add.brace = 5 #!\n", {"key variant[1].add.brace", "brace = [{ ... }]"}},
      {"addition of no kind", head + "add.turret = 5 #!\n", {"key variant[1].add", "turret", "can be added"}},
      {"move to nowhere", head + "#![[variant.move]]\nname = \"b\"\n", {"variant[1].move[1]", "say where it goes"}},
  };
  for (const Mistake &mistake : mistakes) expect_refused(mistake);
}

}  // namespace
}  // namespace stillbox
