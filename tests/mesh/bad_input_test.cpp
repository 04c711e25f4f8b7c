// SPDX-License-Identifier: MIT
#include "tests/mesh/bytes_in.h"
#include "tests/mesh/mistakes.h"

namespace stillbox {
namespace {

std::vector<Mistake> file_mistakes() {
  return {
      {"syntax", "name = \"t\"\nup_to_hz = = 5 #!\n", {"not valid TOML"}},
      {"open text", "name = \"t #!\nup_to_hz = 5\n", {"not valid TOML"}},
      {"key twice", "name = \"t\"\nname = \"u\" #!\n", {"not valid TOML", "name"}},
      {"empty file", "#!\n", {"the file is empty"}},
      {"not text", std::string("name = \"\xff\xfe\" #!\n"), {"not valid TOML"}},
      {"dotted abyss", repeated(5000, "a.") + "a = 1 #!\n", {"more than 32 parts"}},
      {"bracket abyss", "name = " + std::string(5000, '[') + " #!\n", {"not valid TOML"}},
      {"unknown key",
       "nmae = \"t\" #!\nup_to_hz = 100\nname = \"t\"\n[[board]]\nname = \"p\"\nsize = [100, 100]\nmaterial = "
       "\"mdf\"\nthickness = 9\n",
       {"key nmae", "unknown key", "did you mean \"name\""}},
      {"unknown key without a like",
       box + "[mesh]\nqqqqqqqq = 1 #!\n",
       {"key mesh.qqqqqqqq", "fineness, degree, minimum_web"}},
      {"missing name",
       "up_to_hz = 100 #!\n[[board]]\nname = \"p\"\nsize = [100, 100]\nmaterial = \"mdf\"\nthickness = 9\n",
       {"key name", "missing"}},
      {"nothing to compute", "name = \"t\" #!\nup_to_hz = 100\n", {"key cabinet", "missing", "[[board]]"}},
      {"wrong type of name",
       without_cabinet("note = 5 #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board),
       {"key note", "value 5", "text"}},
      {"frequency too low",
       "name = \"t\"\nup_to_hz = 2 #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board,
       {"key up_to_hz", "value 2", "20 .. 20000 Hz"}},
      {"frequency not a number",
       "name = \"t\"\nup_to_hz = nan #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board,
       {"key up_to_hz", "value nan", "20 .. 20000 Hz"}},
      {"frequency without end",
       "name = \"t\"\nup_to_hz = inf #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board,
       {"key up_to_hz", "value inf"}},
      {"frequency as text",
       "name = \"t\"\nup_to_hz = \"1 kHz\" #!\n[cabinet]\nouter_size = " + good_size + "\nboard = " + good_board,
       {"key up_to_hz", "value \"1 kHz\"", "give a number"}},
      {"degree too high", box + "[mesh]\ndegree = 7 #!\n", {"key mesh.degree", "value 7", "2 .. 6"}},
      {"degree not whole", box + "[mesh]\ndegree = 2.5 #!\n", {"key mesh.degree", "value 2.5", "whole number"}},
      {"fineness zero", box + "[mesh]\nfineness = 0 #!\n", {"key mesh.fineness", "0.5 .. 4"}},
      {"mesh is no table",
       "name = \"t\"\nmesh = 3 #!\n" + box.substr(box.find('\n') + 1),
       {"key mesh", "value 3", "table"}},
      {"name over two lines", "name = \"a\\nb\" #!\n" + box.substr(box.find('\n') + 1), {"key name", "one line"}},
      {"too many variants",
       box + "[[variant]] #!\nname = \"v0\"\n" + repeated(100, "[[variant]]\nname = \"w@\"\n"),
       {"key variant", "value 101 items", "up to 100"}},
      {"too many cut-outs",
       box + "[[cut_out]] #!\n" + repeated(200, "[[cut_out]]\n"),
       {"key cut_out", "value 201 items", "up to 200"}},
      {"date", box + "[mesh]\nfineness = 2020-01-01 #!\n", {"key mesh.fineness", "date"}},
  };
}

std::vector<Mistake> cabinet_mistakes() {
  return {
      {"negative thickness",
       cabinet(good_size, "{ material = \"mdf\", thickness = -18 } #!"),
       {"key cabinet.board.thickness", "value -18", "0.05 .. 200 mm"}},
      {"absurd thickness",
       cabinet(good_size, "{ material = \"mdf\", thickness = \"3 m\" } #!"),
       {"key cabinet.board.thickness", "value \"3 m\"", "0.05 .. 200 mm"}},
      {"unit typo",
       cabinet(good_size, "{ material = \"mdf\", thickness = \"18 mn\" } #!"),
       {"key cabinet.board.thickness", "value \"18 mn\"", "not a length"}},
      {"decimal comma",
       cabinet(good_size, "{ material = \"mdf\", thickness = \"18,5 mm\" } #!"),
       {"value \"18,5 mm\"", "not a length"}},
      {"thickness not a number",
       cabinet(good_size, "{ material = \"mdf\", thickness = nan } #!"),
       {"key cabinet.board.thickness", "value nan"}},
      {"thickness is true",
       cabinet(good_size, "{ material = \"mdf\", thickness = true } #!"),
       {"key cabinet.board.thickness", "value true", "a length is wanted"}},
      {"thickness missing",
       cabinet(good_size, "{ material = \"mdf\" } #!"),
       {"key cabinet.board.thickness", "missing", "0.05 .. 200 mm"}},
      {"board missing", without_cabinet("[cabinet] #!\nouter_size = " + good_size), {"key cabinet.board", "missing"}},
      {"grain through a layer of a sheet",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nlayers = [{ material = \"spruce\", thickness = 2, grain = "
             "\"width\" }] #!\n",
       {"key sheet[1].layers", "grain"}},
      {"brace in the place of a sheet",
       box + "[[sheet]]\nname = \"s\"\non = [\"bottom\"]\nmaterial = \"bitumen-sheet\"\nthickness = 2 #!\n" +
           shelf("b", "at = 9"),
       {"key sheet[1].thickness", "takes its whole space"}},
      {"width missing",
       cabinet("{ depth = 300, height = 400 } #!", good_board),
       {"key cabinet.outer_size.width", "missing", "20 .. 5000 mm"}},
      {"huge box",
       cabinet("{ width = 200, depth = 300, height = 40000 } #!", good_board),
       {"key cabinet.outer_size.height", "value 40000", "20 .. 5000 mm"}},
      {"size missing", without_cabinet("[cabinet] #!\nboard = " + good_board), {"key cabinet.outer_size", "missing"}},
      {"two sizes",
       cabinet(good_size, good_board, "inner_size = " + good_size + " #!\n"),
       {"key cabinet.inner_size", "remove one"}},
      {"size as list", cabinet("[200, 300, 400] #!", good_board), {"key cabinet.outer_size", "table"}},
      {"unknown material",
       cabinet(good_size, "{ material = \"mfd\", thickness = 18 } #!"),
       {"key cabinet.board.material", "value \"mfd\"", "did you mean \"mdf\""}},
      {"unknown wall",
       box + "[cabinet.wall.lfet] #!\nthickness = 12\n",
       {"key cabinet.wall.lfet", "did you mean \"left\""}},
      {"unknown key of a wall",
       box + "[cabinet.wall.left]\nthicknes = 12 #!\n",
       {"key cabinet.wall.left.thicknes", "did you mean \"thickness\""}},
      {"walls thicker than the box",
       box + "[cabinet.wall.left]\nthickness = 190 #!\n",
       {"key cabinet.wall.left.thickness", "value 190 mm", "up to 177 mm", "no room"}},
      {"layers and thickness",
       cabinet(good_size, "{ material = \"mdf\", layers = [{ material = \"mdf\", thickness = 9 }] } #!"),
       {"key cabinet.board.material", "either layers"}},
      {"layer without material",
       cabinet(good_size, "{ layers = [{ thickness = 9 }] } #!"),
       {"key cabinet.board.layers[1].material", "missing"}},
      {"grain through the wall",
       box + "[cabinet.wall.left]\ngrain = \"width\" #!\n",
       {"key cabinet.wall.left.grain", "value \"width\""}},
      {"grain not a direction",
       box + "[cabinet.wall.left]\ngrain = \"heigth\" #!\n",
       {"key cabinet.wall.left.grain", "did you mean \"height\""}},
      {"run_through too short",
       cabinet(good_size, good_board, "run_through = [\"left\", \"right\"] #!\n"),
       {"key cabinet.run_through", "all six"}},
      {"run_through twice",
       cabinet(good_size, good_board,
               "run_through = [\"left\", \"left\", \"right\", \"top\", \"bottom\", \"back\", \"baffle\"] #!\n"),
       {"key cabinet.run_through", "each one once"}},
      {"joint of opposite walls",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"right\"] #!\n",
       {"key cabinet.joint[1].edge", "opposite walls"}},
      {"joint through a third wall",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nthrough = \"back\" #!\n",
       {"key cabinet.joint[1].through", "value \"back\"", "left, top"}},
      {"rebate without depth",
       box + "[[cabinet.joint]] #!\nedge = [\"left\", \"top\"]\nkind = \"rebate\"\n",
       {"key cabinet.joint[1].rebate_depth", "missing"}},
      {"rebate through the board",
       cabinet(good_size, good_board + " #!",
               "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"rebate\"\nrebate_depth = 20\n"),
       {"rebate depth of 20 mm", "goes through the wall left"}},
      {"mitre with a through wall",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"mitre\"\nthrough = \"left\" #!\n",
       {"key cabinet.joint[1].through", "mitre"}},
      {"unknown joint",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"dowel\" #!\n",
       {"key cabinet.joint[1].kind", "value \"dowel\"", "butt, rebate, mitre"}},
      {"unsupported bond",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nbond = \"screwed\" #!\n",
       {"key cabinet.joint[1].bond", "value \"screwed\"", "joints are glued", "[[bond]]"}},
      {"edge joined twice",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\n[[cabinet.joint]]\nedge = [\"top\", \"left\"] #!\n",
       {"key cabinet.joint[2].edge", "each edge once"}},
      {"ring of joints",
       box + "[[cabinet.joint]] #!\nedge = [\"baffle\", \"left\"]\nthrough = \"baffle\"\n[[cabinet.joint]]\nedge = "
             "[\"left\", \"top\"]\nthrough = \"left\"\n[[cabinet.joint]]\nedge = [\"top\", \"baffle\"]\nthrough = "
             "\"top\"\n",
       {"key cabinet.joint", "corner of left, baffle, top", "nobody fills the corner"}},
      {"sheet thicker than the room",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\", \"right\"]\nmaterial = \"bitumen-sheet\"\nthickness = 90 #!\n",
       {"key sheet[1].thickness", "value 90 mm", "no room"}},
      {"two sheets on a wall",
       box + "[[sheet]]\nname = \"s\"\non = [\"left\"]\nmaterial = \"bitumen-sheet\"\nthickness = 2\n[[sheet]]\nname = "
             "\"r\"\non = [\"left\"] #!\nmaterial = \"bitumen-sheet\"\nthickness = 2\n",
       {"key sheet[2].on", "value \"left\"", "sheets that do not overlap", "already carries \"s on left\"",
        "use layers"}},
  };
}

std::vector<Mistake> variant_mistakes() {
  const std::string braced = box + shelf("b", "at = 100");
  return {
      {"remove the unknown",
       braced + "[[variant]]\nname = \"v\"\nremove = [\"c\"] #!\n",
       {"in variant \"v\"", "key variant[1].remove", "value \"c\""}},
      {"replace the unknown",
       braced + "[[variant]]\nname = \"v\"\nreplace = { c = { at = 5 } } #!\n",
       {"in variant \"v\"", "key variant[1].replace.c", "nothing of this name"}},
      {"move the unknown",
       braced + "[[variant]]\nname = \"v\"\nmove = [{ name = \"c\", at = 5 }] #!\n",
       {"in variant \"v\"", "value \"c\""}},
      {"move out of the cabinet",
       braced + "[[variant]]\nname = \"v\"\nmove = [{ name = \"b\", at = 900 }] #!\n",
       {"in variant \"v\"", "key brace[1].at", "value 900", "9 mm .. 355 mm"}},
      {"move to nowhere", braced + "[[variant]]\nname = \"v\"\nmove = [{ name = \"b\" }] #!\n", {"say where it goes"}},
      {"add an unknown kind",
       braced + "[[variant]]\nname = \"v\"\nadd = { braces = [] } #!\n",
       {"in variant \"v\"", "did you mean \"brace\""}},
      {"add a wrong brace",
       box + "[[variant]]\nname = \"v\"\n[[variant.add.brace]]\nname = \"b\"\nkind = \"shelf\"\nnormal = "
             "\"height\"\nat = 1000 #!\n",
       {"in variant \"v\"", "key brace[1].at", "value 1000"}},
      {"variant name twice",
       box + "[[variant]]\nname = \"v\"\n[[variant]]\nname = \"v\" #!\n",
       {"key variant[2].name", "value \"v\"", "each name once"}},
      {"variant called base", box + "[[variant]]\nname = \"base\" #!\n", {"key variant[1].name", "each name once"}},
      {"variant without a name", box + "[[variant]] #!\n", {"key variant[1].name", "missing"}},
      {"variant from a later one",
       box + "[[variant]]\nname = \"v\"\nbased_on = \"w\" #!\n[[variant]]\nname = \"w\"\n",
       {"key variant[1].based_on", "value \"w\""}},
      {"cut-out removed under its driver",
       box + hole("centre = [100, 100]") +
           "[[driver]]\ncut_out = \"hole\" #!\nmass_kg = 1\n[[variant]]\nname = \"v\"\nremove = [\"hole\"]\n",
       {"in variant \"v\"", "key driver[1].cut_out", "value \"hole\""}},
      {"unknown key of a variant",
       box + "[[variant]]\nname = \"v\"\nremoves = [] #!\n",
       {"key variant[1].removes", "did you mean \"remove\""}},
  };
}

TEST(BadInput, File) {
  for (const Mistake &mistake : file_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Cabinet) {
  for (const Mistake &mistake : cabinet_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Variants) {
  for (const Mistake &mistake : variant_mistakes()) expect_refused(mistake);
}

std::string refusal_of(const std::string &path, const std::string &materials) {
  try {
    read_case(path, materials);
  } catch (const CaseError &error) {
    return error.what();
  }
  return "";
}

TEST(BadInput, FilesThatCannotBeRead) {
  const CaseText file(box);
  const std::string missing = (file.folder / "none.toml").string();
  EXPECT_EQ(refusal_of(missing, built_in_materials),
            missing + ": there is no such file; check the name and the folder");
  EXPECT_NE(refusal_of(file.folder.string(), built_in_materials).find("is a folder"), std::string::npos);
  EXPECT_NE(refusal_of(file.path, missing).find(missing), std::string::npos);
  EXPECT_NE(refusal_of("/dev/null", built_in_materials).find("not an ordinary file"), std::string::npos);
  const CaseText empty("");
  EXPECT_NE(refusal_of(empty.path, built_in_materials).find("the file is empty"), std::string::npos);
  const CaseText large(box + "#" + std::string(1 << 20, 'x'));
  EXPECT_NE(refusal_of(large.path, built_in_materials).find("1 MiB"), std::string::npos);
}

TEST(BadInput, EveryProblemIsReportedOnceInTheOrderOfTheLines) {
  const CaseText file(R"(name = "t"
up_to_hz = 1
[cabinet]
outer_size = { width = -1, depth = 300, height = 400 }
board = { material = "oak", thickness = "18 mn" }
[[variant]]
name = "v"
remove = ["x"]
)");
  const std::string what = refusal_of(file.path, built_in_materials);
  std::vector<std::size_t> places;
  for (const char *line : {":2: key up_to_hz", ":4: key cabinet.outer_size.width", ":5: key cabinet.board.material",
                           ":5: key cabinet.board.thickness", ":8: in variant \"v\": key variant[1].remove"}) {
    places.push_back(what.find(line));
    ASSERT_NE(places.back(), std::string::npos) << line << "\n" << what;
  }
  EXPECT_TRUE(std::is_sorted(places.begin(), places.end())) << what;
  EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 4) << what;
}

TEST(BadInput, AVariantDoesNotRepeatTheProblemsOfTheBase) {
  const CaseText file(box + hole("centre = [33, 100]") + "[[variant]]\nname = \"v\"\n[[variant]]\nname = \"w\"\n");
  const std::string what = refusal_of(file.path, built_in_materials);
  EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
}

// A variant that inherits a value which could not be read once went on to build with it.
TEST(BadInput, AVariantDoesNotBuildOnAValueTheBaseCouldNotRead) {
  for (const char *centre : {"centre = []", "centre = \"left\"", "centre = [1, 2, 3]", "centre = {}"}) {
    const CaseText file(box + hole(centre) + "[[variant]]\nname = \"v\"\n");
    const std::string what = refusal_of(file.path, built_in_materials);
    EXPECT_NE(what.find("key cut_out[1].centre"), std::string::npos) << what;
    EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
  }
}

TEST(BadInput, TruncatedDemonstrationNeverCrashes) {
  const std::string text = bytes_in(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml");
  ASSERT_GT(text.size(), 1000u);
  int accepted = 0, refused = 0;
  for (std::size_t length = 0; length < text.size(); length += 7) {
    const CaseText file(text.substr(0, length));
    (refusal_of(file.path, built_in_materials).empty() ? accepted : refused) += 1;
  }
  EXPECT_GT(accepted, 0);
  EXPECT_GT(refused, accepted);
}

}  // namespace
}  // namespace stillbox
