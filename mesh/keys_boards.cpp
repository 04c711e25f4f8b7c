// SPDX-License-Identifier: MIT
// Keys of all boards but the walls, and of what is cut out of them: a table of declarations.
#include "mesh/key_makers.h"

namespace stillbox {

std::vector<Key> board_keys() {
  using namespace key_makers;
  return {
      word("sheet", "name", true,
           "Its name; its boards are called NAME on BOARD, and the face or the number of the patch where there are "
           "several."),
      words("sheet", "on", true, {}, "The walls, braces and free boards that carry it."),
      choice(
          "sheet", "face", false, "",
          {"inner", "outer", "both", "lower", "upper", "front", "rear", "left", "right", "low", "high"},
          "Walls: inner (default), outer or both. Braces: lower or upper, front or rear, left or right, by where they "
          "face, or low or high; free boards: low or high side of the normal; default high; or both."),
      number("sheet", "covers_percent", false, "100", 1, 100, "%",
             "Share of the clear face it covers, as a rectangle in the middle with the proportions of the face."),
      table("sheet", "area", false, "One patch, instead of covers_percent."),
      tables("sheet", "areas", false, "Several patches, instead of covers_percent."),
      word("sheet", "material", false, "Its material."),
      length("sheet", "thickness", false, "", 0.05, 100, "Its thickness."),
      tables("sheet", "layers", false, "Several layers, from the board outwards, instead of material and thickness."),
      table("sheet", "core", false,
            "Constrained layer in short: the lossy layer next to the board, { material, thickness }; with "
            "`constraining`, instead of layers."),
      table("sheet", "constraining", false, "The stiff layer on top of the core, { material, thickness }."),
      length("sheet", "thickness_tolerance", false, "0", 0, 10, "Spread of the thickness."),

      lengths("patch", "centre", true, -5000, 5000, "[across, up] as for a cut-out."),
      lengths("patch", "size", true, 10, 5000, "[across, up]."),

      word("brace", "name", true, "A name of its own."),
      choice("brace", "kind", true, "", {"shelf", "window", "rib", "bar", "corner block"}, "What it is."),
      words("brace", "glued", false, wall_names, "The walls it is glued to; all that it touches when left out."),
      word("brace", "material", false, "Its material; that of `[cabinet.board]` when left out."),
      choice("brace", "grain", false, "along", grains, "Direction of the grain."),
      length("brace", "thickness_tolerance", false, "0", 0, 10, "Spread of the thickness."),
      choice("brace shelf", "normal", true, "", directions, "The direction it stands square to."),
      length("brace shelf", "at", true, "", 0, 5000,
             "Centre of its thickness, along the normal from the inner face of the bottom, left wall or baffle."),
      length("brace shelf", "thickness", false, "", 0.5, 200, "Thickness; that of `[cabinet.board]` when left out."),
      tables("brace shelf", "layers", false, "A laminated board, instead of material and thickness."),
      choice("brace window", "normal", true, "", directions, "The direction it stands square to."),
      length("brace window", "at", true, "", 0, 5000,
             "Centre of its thickness, along the normal from the inner face of the bottom, left wall or baffle."),
      length("brace window", "thickness", false, "", 0.5, 200, "Thickness; that of `[cabinet.board]` when left out."),
      tables("brace window", "layers", false, "A laminated board, instead of material and thickness."),
      table("brace window", "openings", false, "Its openings, as one table or as a list."),
      length("openings", "rim", false, "45", 1, 1000, "Wood left around the openings."),
      length("openings", "web", false, "30", 1, 1000, "Wood left between them."),
      {"openings", "columns", T::integer, false, "1", 1, 10, "", {}, "How many side by side, in the first direction."},
      {"openings", "rows", T::integer, false, "1", 1, 10, "", {}, "How many in the second direction."},
      lengths("opening", "centre", true, 0, 5000,
              "[first, second] from the brace's low corner, in the order width, depth, height."),
      lengths("opening", "size", true, 1, 5000, "[first, second]."),
      choice("brace rib", "on", true, "", wall_names, "The wall it is glued on."),
      choice("brace rib", "along", true, "", directions, "The direction it runs in."),
      length("brace rib", "at", true, "", 0, 5000,
             "Centre of its thickness, in the third direction from the inner face of the bottom, left wall or baffle."),
      length("brace rib", "from", false, "", 0, 5000, "Where it starts, from the inner face; at the wall if left out."),
      length("brace rib", "to", false, "", 0, 5000, "Where it ends; at the opposite wall if left out."),
      length("brace rib", "stand_off", true, "", 1, 1000, "How far it stands off the wall."),
      length("brace rib", "thickness", false, "", 0.5, 200, "Thickness; that of `[cabinet.board]` when left out."),
      words("brace bar", "between", true, wall_names, "The two opposite walls."),
      lengths("brace bar", "at", true, 0, 5000,
              "Centre in the two other directions, in the order width, depth, height, from the inner faces."),
      lengths("brace bar", "section", true, 2, 1000, "Its size in these two directions."),
      words("brace corner block", "edge", true, wall_names, "The two walls it sits between."),
      lengths("brace corner block", "section", true, 2, 1000,
              "How far it stands off: from the first wall, from the second wall."),
      length("brace corner block", "from", false, "", 0, 5000, "Where it starts along the edge, from the inner face."),
      length("brace corner block", "to", false, "", 0, 5000, "Where it ends; at the opposite wall if left out."),

      words("crossing", "between", true, {}, "The names of the two boards that cross."),
      choice("crossing", "kind", true, "", {"half-lap", "butt"}, "How they share the wood."),
      word("crossing", "through", false, "Butt: the one that runs through; the first named when left out."),

      word("cut_out", "name", true, "A name of its own."),
      word("cut_out", "on", true, "A wall, a brace or a free board."),
      choice("cut_out", "shape", true, "", {"round", "rectangle", "slot"}, "A slot has semicircular ends."),
      lengths(
          "cut_out", "centre", true, -5000, 5000,
          "[across, up]. On a wall: from the lower left corner of the cabinet's outer face, seen from outside (top: "
          "seen from above, front below; bottom: seen from below, back above). On a brace: from its low corner in "
          "the order width, depth, height. On a free board: u, v."),
      length("cut_out", "diameter", false, "", 2, 2000, "Of a round one."),
      lengths("cut_out", "size", false, 2, 5000, "[across, up] of a rectangle or slot, over all."),

      word("free board", "name", true, "A name of its own."),
      {"free board",
       "origin",
       T::lengths,
       false,
       "[0, 0, 0]",
       -10000,
       10000,
       "mm",
       {},
       "[x, y, z] of the corner where u, v and the normal coordinate are 0; of a disc the centre."},
      {"free board",
       "u",
       T::text,
       false,
       "x",
       0,
       0,
       "",
       {},
       "First axis: x, y, z, -x, -y, -z or a direction [x, y, z]."},
      {"free board", "v", T::text, false, "y", 0, 0, "", {}, "Second axis, square to the first; the normal is u x v."},
      lengths("free board", "size", false, 1, 10000, "[along u, along v] of a rectangle."),
      length("free board", "diameter", false, "", 1, 10000, "Of a disc."),
      {"free board", "outline", T::tables, false, "", -10000, 10000, "mm", {}, "Corners [[u, v], ...] of a polygon."},
      word("free board", "material", false, "Its material."),
      length("free board", "thickness", false, "", 0.05, 2000, "Its thickness."),
      tables("free board", "layers", false, "Layers from the low face up, instead of material and thickness."),
      choice("free board", "grain", false, "u", {"u", "v"}, "Direction of the grain."),
      number("free board", "grain_angle_deg", false, "", -180, 180, "deg", "Grain from u towards v; instead of grain."),
      length("free board", "thickness_tolerance", false, "0", 0, 10, "Spread of the thickness."),
      words("free board", "glued", false, {"u low", "u high", "v low", "v high", "n low", "n high"},
            "The sides that are glued to what they touch; all when left out."),
  };
}

}  // namespace stillbox
