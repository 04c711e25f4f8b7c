// SPDX-License-Identifier: MIT
#include <algorithm>

#include "tests/mesh/case_text.h"

// Every mistake must give one CaseError with one line per problem: file, line, key, value, what is allowed, what to do.
// In the texts below "#!" marks the line that the message must name.

namespace stillbox {
namespace {

struct Mistake {
  const char *name;
  std::string text;
  std::vector<std::string> parts;  ///< what the message must contain
};

std::string without_cabinet(const std::string &lines) { return "name = \"t\"\nup_to_hz = 1000\n" + lines; }

std::string cabinet(const std::string &size, const std::string &board, const std::string &rest = "") {
  return without_cabinet("[cabinet]\nouter_size = " + size + "\nboard = " + board + "\n" + rest);
}

const std::string good_size = "{ width = 200, depth = 300, height = 400 }";
const std::string good_board = "{ material = \"mdf\", thickness = 18 }";

std::string hole(const std::string &centre, const std::string &rest = "diameter = 60") {
  return "[[cut_out]]\nname = \"hole\"\non = \"baffle\"\nshape = \"round\"\n" + centre + "\n" + rest + "\n";
}

std::string shelf(const std::string &name, const std::string &at, const std::string &rest = "") {
  return "[[brace]]\nname = \"" + name + "\"\nkind = \"shelf\"\nnormal = \"height\"\n" + at + "\n" + rest;
}

std::string wood(const std::string &lines) {
  return box + "[material.own]\nkind = \"orthotropic\"\ndensity_kg_m3 = 500\nloss_factor = 0.01\n" + lines;
}

const std::string wood_moduli =
    "youngs_modulus_along_gpa = 10\nyoungs_modulus_across_gpa = 1\nyoungs_modulus_through_gpa = 0.5\n"
    "shear_modulus_along_across_gpa = 0.7\nshear_modulus_along_through_gpa = 0.7\nshear_modulus_across_through_gpa = "
    "0.05\n"
    "poissons_ratio_along_through = 0.4\npoissons_ratio_across_through = 0.4\n";

std::string board(const std::string &lines) {
  return without_cabinet("[[board]]\nname = \"plate\"\nmaterial = \"mdf\"\nthickness = 18\n" + lines);
}

std::string repeated(int count, const std::string &text) {
  std::string result;
  for (int i = 0; i < count; ++i) {
    std::string one = text;
    const std::size_t at = one.find('@');
    if (at != std::string::npos) one.replace(at, 1, std::to_string(i));
    result += one;
  }
  return result;
}

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
       {"key cabinet.joint[1].bond", "value \"screwed\"", "allowed: glued"}},
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

std::vector<Mistake> material_mistakes() {
  return {
      {"indefinite material",
       box + "[material.own] #!\nkind = \"transversely isotropic\"\ndensity_kg_m3 = 700\nloss_factor = "
             "0.02\nyoungs_modulus_in_plane_gpa = 3\nyoungs_modulus_through_gpa = 3\nshear_modulus_through_gpa = "
             "1\npoissons_ratio_in_plane = 0.9\npoissons_ratio_through = 0.9\n",
       {"key material.own", "positive definite"}},
      {"Poisson's ratio too large",
       wood(wood_moduli + "poissons_ratio_along_across = 3.0\npoissons_ratio_across_along = 0.9 #!\n"),
       {"key material.own.poissons_ratio_across_along", "0.3 within 5 %"}},
      {"inconsistent Poisson's ratios",
       wood(wood_moduli + "poissons_ratio_along_across = 0.4\npoissons_ratio_across_along = 0.4 #!\n"),
       {"key material.own.poissons_ratio_across_along", "value 0.4", "0.04 within 5 %"}},
      {"rubber with nu 0.5",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "0.01\npoissons_ratio = 0.5 #!\n",
       {"key material.own.poissons_ratio", "value 0.5", "-0.9 .. 0.495"}},
      {"modulus in Pa",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "3.5e9 #!\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "value 3.5e+09", "GPa"}},
      {"modulus zero",
       box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\nyoungs_modulus_gpa = "
             "0 #!\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "value 0", "1e-06 .. 1500 GPa"}},
      {"modulus missing",
       box + "[material.own] #!\nkind = \"isotropic\"\ndensity_kg_m3 = 1000\nloss_factor = 0.5\npoissons_ratio = 0.3\n",
       {"key material.own.youngs_modulus_gpa", "missing"}},
      {"modulus of another kind",
       box + "[material.own]\nbased_on = \"mdf\"\nyoungs_modulus_gpa = 3.5 #!\n",
       {"key material.own.youngs_modulus_gpa", "unknown key", "youngs_modulus_in_plane_gpa"}},
      {"unknown kind",
       box + "[material.own]\nkind = \"anisotropic\" #!\ndensity_kg_m3 = 1000\nloss_factor = 0.5\n",
       {"key material.own.kind", "value \"anisotropic\"", "isotropic, transversely isotropic, orthotropic"}},
      {"unknown base",
       box + "[material.own]\nbased_on = \"mfd\" #!\n",
       {"key material.own.based_on", "did you mean \"mdf\""}},
      {"ring of bases", box + "[material.a]\nbased_on = \"b\" #!\n[material.b]\nbased_on = \"a\"\n", {"in a ring"}},
      {"material is a number", box + "[material]\nown = 5 #!\n", {"key material.own", "value 5", "table"}},
      {"negative density",
       box + "[material.own]\nbased_on = \"mdf\"\ndensity_kg_m3 = -1 #!\n",
       {"key material.own.density_kg_m3", "value -1", "10 .. 25000 kg/m3"}},
  };
}

/// A material with a table; every part may be replaced by a wrong one.
struct TableText {
  std::string temperature;
  std::string frequency = "frequency_hz = [10, 100, 1000]";
  std::string modulus = "shear_modulus_mpa = [1, 2, 4]";
  std::string loss = "loss_factor = [0.5, 0.6, 0.5]";
  std::string reference = "reference_temperature_c = 20";
  std::string rest;
  std::string constants;
  std::string heading = "[material.own.complex_modulus]";

  std::string text() const {
    return temperature + "\n" + box + "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1200\n" +
           "poissons_ratio = 0.45\n" + constants + "\n" + heading + "\n" + frequency + "\n" + modulus + "\n" + loss +
           "\n" + reference + "\n" + rest + "\n";
  }
};

std::string table(std::string TableText::*part, const std::string &lines, const std::string &temperature = "",
                  const std::string &rest = "") {
  TableText t;
  t.rest = rest;
  t.temperature = temperature;
  t.*part = lines;
  return t.text();
}

/// Without one of its parts, or with `instead` of it: the problem is at the heading.
std::string without(std::string TableText::*part, const std::string &instead = "") {
  TableText t;
  t.heading += " #!";
  t.*part = instead;
  return t.text();
}

const std::string wlf = "shift = \"wlf\"\nwlf_c1 = 17.44\nwlf_c2_k = 51.6";

std::vector<Mistake> table_mistakes() {
  using T = TableText;
  const std::string own = "key material.own.complex_modulus.";
  return {
      {"modulus column too short",
       table(&T::modulus, "shear_modulus_mpa = [1, 2] #!"),
       {own + "shear_modulus_mpa", "value 2 numbers", "3 numbers, as in frequency_hz"}},
      {"loss column too long",
       table(&T::loss, "loss_factor = [0.5, 0.6, 0.5, 0.4] #!"),
       {own + "loss_factor", "value 4 numbers", "3 numbers, as in frequency_hz"}},
      {"frequencies out of order",
       table(&T::frequency, "frequency_hz = [10, 1000, 100] #!"),
       {own + "frequency_hz", "value 1000, 100", "increasing", "sort the rows"}},
      {"frequency twice",
       table(&T::frequency, "frequency_hz = [10, 10, 100] #!"),
       {own + "frequency_hz", "value 10, 10", "each frequency once"}},
      {"frequency zero",
       table(&T::frequency, "frequency_hz = [0, 10, 100] #!"),
       {own + "frequency_hz", "value 0", "1e-12 .. 1e+15 Hz"}},
      {"one frequency", table(&T::frequency, "frequency_hz = [10] #!"), {own + "frequency_hz", "2 .. 200 numbers"}},
      {"no list of frequencies",
       table(&T::frequency, "frequency_hz = 10 #!"),
       {own + "frequency_hz", "value 10", "2 .. 200 numbers"}},
      {"no frequencies", without(&T::frequency), {own + "frequency_hz", "missing", "1e-12 .. 1e+15 Hz"}},
      {"no modulus", without(&T::modulus), {own + "shear_modulus_mpa", "missing", "or youngs_modulus_mpa"}},
      {"no loss factor", without(&T::loss), {own + "loss_factor", "missing", "0.0001 .. 3"}},
      {"no reference temperature",
       without(&T::reference),
       {own + "reference_temperature_c", "missing", "-60 .. 150 degrees C"}},
      {"no C2",
       without(&T::rest, "shift = \"wlf\"\nwlf_c1 = 17"),
       {own + "wlf_c2_k", "missing", "1 .. 1000 K", "shift = \"wlf\" needs it"}},
      {"no activation energy",
       without(&T::rest, "shift = \"arrhenius\""),
       {own + "activation_energy_kj_mol", "missing", "0 .. 2000 kJ/mol", "needs it"}},
      {"negative modulus",
       table(&T::modulus, "shear_modulus_mpa = [1, -2, 4] #!"),
       {own + "shear_modulus_mpa", "value -2", "1e-06 .. 1e+06 MPa"}},
      {"modulus column in Pa",
       table(&T::modulus, "youngs_modulus_mpa = [1e7, 2e7, 4e7] #!"),
       {own + "youngs_modulus_mpa", "value 1e+07", "MPa"}},
      {"modulus as text",
       table(&T::modulus, "shear_modulus_mpa = [1, \"2\", 4] #!"),
       {own + "shear_modulus_mpa", "value \"2\"", "not a text"}},
      {"modulus not a number",
       table(&T::modulus, "shear_modulus_mpa = [1, nan, 4] #!"),
       {own + "shear_modulus_mpa", "value nan"}},
      {"both moduli",
       table(&T::modulus, "shear_modulus_mpa = [1, 2, 4]\nyoungs_modulus_mpa = [3, 6, 12] #!"),
       {own + "youngs_modulus_mpa", "one of shear_modulus_mpa and youngs_modulus_mpa"}},
      {"loss factor too large",
       table(&T::loss, "loss_factor = [0.5, 3.5, 0.5] #!"),
       {own + "loss_factor", "value 3.5", "0.0001 .. 3"}},
      {"loss factor zero",
       table(&T::loss, "loss_factor = [0.5, 0, 0.5] #!"),
       {own + "loss_factor", "value 0;", "0.0001 .. 3"}},
      {"reference temperature in kelvins",
       table(&T::reference, "reference_temperature_c = 293 #!"),
       {own + "reference_temperature_c", "value 293", "-60 .. 150 degrees C"}},
      {"unknown shift",
       table(&T::rest, "shift = \"vlf\" #!\nwlf_c1 = 17"),
       {own + "shift", "value \"vlf\"", "did you mean \"wlf\""}},
      {"wlf constant of no shift",
       table(&T::rest, "wlf_c1 = 17.44 #!"),
       {own + "wlf_c1", "value 17.44", "shift = \"wlf\"", "it is \"none\""}},
      {"wlf constant of arrhenius",
       table(&T::rest, "shift = \"arrhenius\"\nactivation_energy_kj_mol = 100\nwlf_c2_k = 50 #!"),
       {own + "wlf_c2_k", "it is \"arrhenius\""}},
      {"activation energy in J",
       table(&T::rest, "shift = \"arrhenius\"\nactivation_energy_kj_mol = 1e5 #!"),
       {own + "activation_energy_kj_mol", "value 100000", "0 .. 2000 kJ/mol"}},
      {"C2 of nothing",
       table(&T::rest, "shift = \"wlf\"\nwlf_c1 = 17\nwlf_c2_k = 0 #!"),
       {own + "wlf_c2_k", "value 0", "1 .. 1000 K"}},
      {"too cold for wlf",
       table(&T::rest, wlf + " #!", "temperature_c = -35"),
       {own + "wlf_c2_k", "value 51.6", "more than 55 K at the case's -35 C", "C2 + T - T0"}},
      {"shifted beyond use",
       table(&T::rest, "shift = \"wlf\"\nwlf_c1 = 100 #!\nwlf_c2_k = 61", "temperature_c = -40"),
       {own + "wlf_c1", "value 100", "up to 30 decades", "6000 decades"}},
      {"no shift at another temperature",
       table(&T::rest, "shift = \"none\" #!", "temperature_c = 35"),
       {own + "shift", "value \"none\"", "34 .. 36 C", "holds at 20 C", "outside = \"hold\""}},
      {"law outside the table",
       table(&T::rest, "law_at_hz = 5000 #!"),
       {own + "law_at_hz", "value 5000", "10 .. 1000 Hz, the table's at 20 C"}},
      {"law outside the shifted table",
       table(&T::rest, wlf + "\nlaw_at_hz = 900 #!", "temperature_c = 15"),
       {own + "law_at_hz", "value 900", "Hz, the table's at 15 C", "outside = \"hold\""}},
      {"unknown way outside",
       table(&T::rest, "outside = \"clamp\" #!"),
       {own + "outside", "value \"clamp\"", "refuse, hold"}},
      {"unknown key of a table",
       table(&T::rest, "wlf_c2_c = 51.6 #!"),
       {own + "wlf_c2_c", "did you mean \"wlf_c2_k\""}},
      {"constant modulus beside a table",
       table(&T::constants, "youngs_modulus_gpa = 0.01 #!"),
       {"key material.own.youngs_modulus_gpa", "not together with complex_modulus"}},
      {"constant loss factor beside a table",
       table(&T::constants, "loss_factor = 0.3 #!"),
       {"key material.own.loss_factor", "not together with complex_modulus"}},
      {"table of a wood",
       box + "[material.own]\nbased_on = \"mdf\"\ncomplex_modulus = { loss_factor = [1, 1] } #!\n",
       {"key material.own.complex_modulus", "kind \"transversely isotropic\"", "kind = \"isotropic\" only"}},
      {"table is a number",
       box +
           "[material.own]\nkind = \"isotropic\"\ndensity_kg_m3 = 1200\npoissons_ratio = 0.4\ncomplex_modulus = 3 #!\n",
       {"key material.own.complex_modulus", "value 3", "a table"}},
      {"case too hot", "temperature_c = 200 #!\n" + box, {"key temperature_c", "value 200", "-40 .. 80 degrees C"}},
      {"case temperature as text", "temperature_c = \"20 C\" #!\n" + box, {"key temperature_c", "value \"20 C\""}},
  };
}

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
       box +
           "[[brace]]\nname = \"b\"\nkind = \"rib\"\nwall = \"left\"\nalong = \"width\" #!\nat = 100\nstand_off = 30\n",
       {"key brace[1].along", "value \"width\""}},
      {"rib that ends before it starts",
       box + "[[brace]]\nname = \"b\"\nkind = \"rib\"\nwall = \"left\"\nalong = \"height\"\nat = 100\nstand_off = "
             "30\nfrom = 200\nto = 100 #!\n",
       {"key brace[1].to", "ends before it starts"}},
      {"crossing of strangers",
       box + shelf("b", "at = 100") + "[[crossing]]\nboards = [\"b\", \"c\"] #!\nkind = \"butted\"\n",
       {"key crossing[1].boards", "value \"c\""}},
      {"crossing that is none",
       box + shelf("b", "at = 100") + shelf("c", "at = 200") +
           "[[crossing]]\nboards = [\"b\", \"c\"] #!\nkind = \"butted\"\n",
       {"key crossing[1].boards", "do not cross"}},
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
       board("diameter = 300\n[[edge_support]]\nboard = \"plate\"\nedge = \"u low\" #!\nkind = \"clamped\"\n"),
       {"key edge_support[1].edge", "rectangular"}},
      {"unknown support",
       board("size = [300, 200]\n[[edge_support]]\nboard = \"plate\"\nkind = \"glued\" #!\n"),
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
       box + "[[mass]]\nname = \"m\"\non = \"top\"\nat = [100, 100]\narea = { from = [50, 50], to = [60, 60] } "
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
      "[[brace]]\nname = \"rib\"\nkind = \"rib\"\nwall = \"bottom\"\nalong = \"depth\"\nstand_off = 30\n";
  return {
      {"patch beyond the clear face",
       box + sheet(area("50, 100", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area.centre", "value [50, 100]", "18 mm .. 282 mm across, 18 mm .. 382 mm up",
        "reaches beyond the inner face of \"left\""}},
      {"patch beyond an outer face",
       box + sheet("side = \"outer\"\n" + area("300, 100", "80, 80") + " #!\n" + felt),
       {"key sheet[1].area.centre", "the outer face of \"left\""}},
      {"patch beyond a brace",
       box + shelf("b", "at = 100") + sheet("side = \"upper\"\n" + area("100, 100", "150, 80") + " #!\n" + felt, "b"),
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
           "[[sheet]]\nname = \"s\"\non = [\"b\", \"c\"]\nside = \"both\"\nmaterial = "
           "\"bitumen-sheet\"\nthickness = 3 #!\n",
       {"key sheet[1].thickness", "value 3 mm", "up to 2 mm", "\"s on b\" stands 2 mm off"}},
      {"a side that a wall does not have",
       box + sheet("side = \"upper\" #!\n" + felt),
       {"key sheet[1].side", "inner, outer, both", "\"left\" has no such side"}},
      {"a side that a brace does not have",
       box + shelf("b", "at = 100") + sheet("side = \"outer\" #!\n" + felt, "b"),
       {"key sheet[1].side", "lower, upper, low, high, both"}},
      {"an unknown side", box + sheet("side = \"outter\" #!\n" + felt), {"did you mean \"outer\""}},
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
           "[[mass]]\nname = \"m\"\non = \"left\"\nmass_kg = 1\narea = { from = [150, 200], to = [250, 210] } #!\n",
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
      {"bond of a mitred edge",
       box + "[[cabinet.joint]]\nedge = [\"left\", \"top\"]\nkind = \"mitre\"\n" +
           bond("between = [\"top\", \"left\"] #!\n" + screws),
       {"key bond[1].between", "mitred"}},
      {"bond of half-lapped shelves",
       braced + "[[brace]]\nname = \"c\"\nkind = \"shelf\"\nnormal = \"width\"\nat = 80\n" +
           bond("between = [\"b\", \"c\"] #!\n" + screws),
       {"key bond[1].between", "half-lapped", "butted"}},
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
       box + "[[variant]]\nname = \"v\"\nfrom = \"w\" #!\n[[variant]]\nname = \"w\"\n",
       {"key variant[1].from", "value \"w\""}},
      {"cut-out removed under its driver",
       box + hole("centre = [100, 100]") +
           "[[driver]]\ncut_out = \"hole\" #!\nmass_kg = 1\n[[variant]]\nname = \"v\"\nremove = [\"hole\"]\n",
       {"in variant \"v\"", "key driver[1].cut_out", "value \"hole\""}},
      {"unknown key of a variant",
       box + "[[variant]]\nname = \"v\"\nremoves = [] #!\n",
       {"key variant[1].removes", "did you mean \"remove\""}},
  };
}

void expect_refused(const Mistake &mistake) {
  SCOPED_TRACE(mistake.name);
  std::string text = mistake.text;
  const std::size_t mark = text.find("#!");
  ASSERT_NE(mark, std::string::npos);
  const long line = 1 + std::count(text.begin(), text.begin() + long(mark), '\n');
  text.erase(mark, 2);
  const CaseText file(text);
  try {
    file.read();
    ADD_FAILURE() << "was accepted:\n" << text;
  } catch (const CaseError &error) {
    const std::string what = error.what();
    EXPECT_EQ(what.rfind(file.path + ":" + std::to_string(line) + ":", 0), 0u) << "line " << line << ": " << what;
    EXPECT_EQ(std::count(what.begin(), what.end(), '\n'), 0) << what;
    for (const std::string &part : mistake.parts) EXPECT_NE(what.find(part), std::string::npos) << part << "\n" << what;
  }
}

TEST(BadInput, File) {
  for (const Mistake &mistake : file_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Cabinet) {
  for (const Mistake &mistake : cabinet_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Material) {
  for (const Mistake &mistake : material_mistakes()) expect_refused(mistake);
}
TEST(BadInput, TableOfAMaterial) {
  for (const Mistake &mistake : table_mistakes()) expect_refused(mistake);
}
TEST(BadInput, BracesAndBoards) {
  for (const Mistake &mistake : brace_mistakes()) expect_refused(mistake);
}
TEST(BadInput, CutOutsAndFittings) {
  for (const Mistake &mistake : cut_out_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Sheets) {
  for (const Mistake &mistake : sheet_mistakes()) expect_refused(mistake);
}
TEST(BadInput, Bonds) {
  for (const Mistake &mistake : bond_mistakes()) expect_refused(mistake);
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
  std::ifstream stream(STILLBOX_SOURCE_DIR "/cases/stand-mount.toml");
  const std::string text((std::istreambuf_iterator<char>(stream)), std::istreambuf_iterator<char>());
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
