// SPDX-License-Identifier: MIT
#include "mesh/keys.h"

#include "mesh/key_makers.h"

namespace stillbox {
namespace {

using namespace key_makers;

std::vector<Key> case_keys() {
  return {
      word("case", "name", true, "What the case is called."),
      word("case", "note", false, "Remarks for the reader."),
      word("case", "base_name", false, "Name of the base among the variants; `base` when left out."),
      number("case", "up_to_hz", true, "", 20, 20000, "Hz", "Modes are wanted up to this frequency."),
      number("case", "temperature_c", false, "20", -40, 80, "degrees C",
             "Temperature of the whole structure. Only materials with a `complex_modulus` depend on it."),
      table("case", "mesh", false, "See `[mesh]`."),
      table("case", "material", false, "See `[material.NAME]`."),
      table("case", "cabinet", false, "See `[cabinet]`."),
      table("case", "shape", false, "See `[shape]`."),
      table("case", "solids", false, "See `[solids]`."),
      tables("case", "sheet", false, "See `[[sheet]]`."),
      tables("case", "brace", false, "See `[[brace]]`."),
      tables("case", "crossing", false, "See `[[crossing]]`."),
      tables("case", "cut_out", false, "See `[[cut_out]]`."),
      tables("case", "driver", false, "See `[[driver]]`."),
      tables("case", "mass", false, "See `[[mass]]`."),
      tables("case", "foot", false, "See `[[foot]]`."),
      tables("case", "board", false, "See `[[board]]`."),
      tables("case", "edge_support", false, "See `[[edge_support]]`."),
      tables("case", "bond", false, "See `[[bond]]`."),
      tables("case", "port", false, "See `[[port]]`."),
      tables("case", "lining", false, "See `[[lining]]`."),
      tables("case", "filling", false, "See `[[filling]]`."),
      tables("case", "variant", false, "See `[[variant]]`."),
      table("case", "place", false, "See `[place]`."),

      number("mesh", "fineness", false, "1", 0.5, 4, "", "Divides the size of the elements: 2 halves it."),
      {"mesh",
       "degree",
       T::integer,
       false,
       "",
       2,
       6,
       "",
       {},
       "Polynomial degree of the elements; chosen when left out."},
      length("mesh", "minimum_web", false, "5", 0.5, 50,
             "Least wood between a cut-out and an edge, a brace, a wall or another cut-out."),
  };
}

std::vector<Key> variant_keys() {
  return {
      word("variant", "name", true, "A name of its own."),
      word("variant", "note", false, "Remarks."),
      word("variant", "based_on", false, "An earlier variant it builds on; the base when left out."),
      words("variant", "remove", false, {},
            "Names of sheets, braces, cut-outs, drivers, ports, linings, fillings, masses, feet, boards or bonds; a "
            "crossing or bond goes with either of its boards."),
      table("variant", "replace", false,
            "NAME = { keys } changes keys of a named item (a new `kind` of bond starts without the old springs); a "
            "wall name changes that wall; `cabinet`, `shape` and `material` "
            "change those tables."),
      tables("variant", "move", false, "New places of named items."),
      table("variant", "add", false,
            "KIND = [{ ... }] with the kinds sheet, brace, crossing, cut_out, driver, mass, foot, board, edge_support, "
            "bond, port, lining, filling."),
      word("place", "variant", false, "The variant whose items are varied; the base when left out."),
      choice("place", "aim", false, "highest first mode", {"highest first mode", "shortest ring", "least clustering"},
             "What is best. shortest ring: the longest decay time T60 in the band is as short as possible. least "
             "clustering: the modes of the band have as few others near them as possible."),
      numbers("place", "band_hz", false, 1, 20000, "Hz", "[low, high] of the band; all modes when left out."),
      number("place", "most_mass_kg", false, "", 0.001, 10000, "kg", "Boards and fittings weigh at most so much."),
      number("place", "least_volume_l", false, "", 0.001, 100000, "l", "At least so much is left inside."),
      number("place", "least_open_percent", false, "", 0, 100, "%",
             "At least so much of a brace that spans the whole cross-section is open, for the air."),
      choice("place", "insert", false, "before closing", {"before closing", "through a cut-out"},
             "How braces get in: glued in before the last wall, or through the largest cut-out of a wall."),
      words("place", "compare", false, {},
            "Variants that are solved in full beside the winner, such as one long brace or two short ones."),
      tables("place", "vary", false, "See `[[place.vary]]`."),
      word("place vary", "name", true, "The item, a wall, or `cabinet`, as in `replace` of a variant."),
      word("place vary", "key", true, "The key whose value is varied: `at`, `thickness`, `glued`, `openings.rim`."),
      lengths("place vary", "from", false, -5000, 5000, "First value; two lengths for a key that has two."),
      lengths("place vary", "to", false, -5000, 5000, "Last value."),
      lengths("place vary", "step", false, 0.01, 5000, "From value to value."),
      {"place vary", "values", T::tables, false, "", 0, 0, "", {}, "Instead: a list of values of any kind."},

      word("move", "name", true, "What is moved."),
      {"move", "at", T::lengths, false, "", -5000, 5000, "mm", {}, "As for the item."},
      lengths("move", "centre", false, -5000, 5000, "As for a cut-out; of the `area` of a sheet or mass."),
      lengths("move", "origin", false, -10000, 10000, "As for a free board."),
      length("move", "from", false, "", 0, 5000, "As for a rib or corner block."),
      length("move", "to", false, "", 0, 5000, "As for a rib or corner block."),
  };
}

}  // namespace

const std::vector<Key> &all_keys() {
  static const std::vector<Key> keys = [] {
    std::vector<Key> all;
    for (const auto list : {case_keys, material_keys, wall_keys, board_keys, fitting_keys, variant_keys})
      for (Key &key : list()) all.push_back(std::move(key));
    return all;
  }();
  return keys;
}

}  // namespace stillbox
