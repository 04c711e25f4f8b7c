// SPDX-License-Identifier: MIT
// Keys of cabinets of all forms: a table of declarations.
#include "mesh/key_makers.h"

namespace stillbox {

std::vector<Key> wall_keys() {
  using namespace key_makers;
  return {
      table("cabinet", "outer_size", false, "Outer size; either this or `inner_size`."),
      table("cabinet", "inner_size", false, "Clear size inside."),
      table("cabinet", "board", false, "The board of all walls; a wall may differ, see `wall`."),
      table("cabinet", "wall", false, "What is different for a wall."),
      words("cabinet", "run_through", false, wall_names,
            "All six walls; where two meet in a butt joint the one named earlier runs through. Default: baffle, back, "
            "left, right, top, bottom."),
      tables("cabinet", "joint", false, "Joints that are not plain butt joints in that order."),
      length("size", "width", true, "", 20, 5000, "Left to right, seen from the front (x)."),
      length("size", "depth", true, "", 20, 5000, "Front to back (y)."),
      length("size", "height", true, "", 20, 5000, "Bottom to top (z)."),

      word("board", "material", false, "A material of the built-in list or of `[material.NAME]`."),
      length("board", "thickness", false, "", 0.05, 200, "Thickness."),
      tables("board", "layers", false, "A laminated board, instead of material and thickness."),
      choice("board", "grain", false, "along", grains,
             "Direction of the grain: along the longer or across the longer side of the board, or a direction of the "
             "cabinet. In `[cabinet.board]` a direction that a wall does not have becomes `height`, or `width` for the "
             "top "
             "and the bottom."),
      length("board", "thickness_tolerance", false, "0", 0, 10, "Spread of the thickness, plus or minus."),
      word("layer", "material", true, "Its material."),
      length("layer", "thickness", true, "", 0.05, 200, "Its thickness."),
      choice("layer", "grain", false, "", {"along", "across", "width", "depth", "height", "u", "v"},
             "As for a board; the board's when left out. Free boards: u or v."),

      {"shape",
       "footprint",
       T::tables,
       false,
       "",
       -5000,
       5000,
       "mm",
       {},
       "Outer corners at the bottom, [[across, back], ...], anticlockwise as seen from above, front left first; either "
       "this or `tube`."},
      words("shape", "walls", false, {},
            "With a footprint: a name for the wall from each corner to the next, in that order. `baffle`, `right`, "
            "`back` and `left` make labels that know opposite walls."),
      length("shape", "height", false, "", 20, 5000, "With a footprint: outer height; top and bottom lie level."),
      table("shape", "tube", false, "A round tube instead of a footprint."),
      table("shape", "board", false, "The board of all walls; a wall may differ, see `wall`."),
      table("shape", "wall", false, "What is different for a wall, by its name; `top` and `bottom`, too."),
      words("shape", "run_through", false, {},
            "All walls, top and bottom; where two meet the one named earlier runs through. Default: in the order of "
            "`walls`, then top, bottom."),
      choice(
          "shape", "corners", false, "butt", {"butt", "mitre"},
          "How upright walls meet: in butt joints by `run_through`, or mitred; where a wall is bent all are mitred."),
      tables("shape", "chamfer", false, "Bevelled outer edges."),
      choice("shape", "elements", false, "hexahedra where possible", {"hexahedra where possible", "tetrahedra"},
             "Four upright walls, also leaning or bent, with braces that lie alike, are meshed with hexahedra, more "
             "accurate for the same time; everything else with tetrahedra."),
      word("shape wall", "material", false, "A material of the built-in list or of `[material.NAME]`."),
      length("shape wall", "thickness", false, "", 0.5, 200, "Thickness."),
      choice("shape wall", "grain", false, "along", {"along", "across"},
             "Along the longer or across the longer side; of a bent wall laid flat."),
      length("shape wall", "thickness_tolerance", false, "0", 0, 10, "Spread of the thickness, plus or minus."),
      number("shape wall", "slope_deg", false, "0", -45, 45, "deg",
             "Leans by so much from upright: above 0 its upper edge leans to the inside."),
      length("shape wall", "radius", false, "", -10000, 10000,
             "A bent wall: radius of its outer face. Above 0 it bulges outwards, below 0 it is hollow; flat when left "
             "out. For a kerfed wall describe a material that is soft across its kerfs."),
      length("tube", "diameter", true, "", 20, 3000, "Outer diameter."),
      length("tube", "length", true, "", 20, 5000, "Length over all."),
      choice(
          "tube", "along", false, "height", directions,
          "Where its axis points; its ends are bottom and top, baffle and back, or left and right. Its wall is called "
          "`tube`."),
      choice("tube", "ends", false, "inset", {"inset", "covering"},
             "Whether the end boards sit within the tube or on it."),
      words("chamfer", "edge", true, {},
            "The two flat walls whose common outer edge is bevelled; top and bottom, too."),
      lengths("chamfer", "size", true, 0.5, 200,
              "How far it reaches over the walls: one length, or one for each of them."),

      word("solids", "file", true, "A STEP file (ISO 10303-21), with its path from the case file's folder."),
      choice("solids", "elements", false, "hexahedra where possible", {"hexahedra where possible", "tetrahedra"},
             "Where all solids are rectangular plates along x, y and z with straight cut-outs, that is, a box in butt "
             "joints, it is meshed with hexahedra, far more accurate, and all commands work."),
      tables("solids", "named", false, "See `[[solids.named]]`."),
      tables("solids", "layer", false, "See `[[solids.layer]]`."),
      word("solid named", "name", true, "The solid's name in the file."),
      word("solid named", "material", true, "Its material."),
      choice("solid named", "kind", false, "wall", {"wall", "brace", "free"},
             "What it is, for labels and sums over walls."),
      numbers("solid named", "grain", false, -1e6, 1e6, "",
              "Direction [x, y, z] of the grain; along the longer side when left out."),
      numbers("solid named", "normal", false, -1e6, 1e6, "",
              "Direction [x, y, z] through its thickness; square to its largest face when left out."),
      length("solid named", "thickness_tolerance", false, "0", 0, 10, "Spread of its thickness."),
      word("solid layer", "name", true, "The layer's name in the file."),
      word("solid layer", "material", true, "The material of all solids on it that are not named."),
      choice("solid layer", "kind", false, "wall", {"wall", "brace", "free"}, "What they are."),
      numbers("solid layer", "grain", false, -1e6, 1e6, "", "As for a named one."),
      numbers("solid layer", "normal", false, -1e6, 1e6, "", "As for a named one."),
      length("solid layer", "thickness_tolerance", false, "0", 0, 10, "Spread of their thickness."),

      words("joint", "edge", true, wall_names, "The two walls that meet."),
      choice("joint", "kind", false, "butt", {"butt", "rebate", "mitre"}, "How they meet."),
      choice(
          "joint", "through", false, "", wall_names,
          "Butt: the wall that runs through. Rebate: the wall the rebate is cut into. By run_through when left out."),
      length("joint", "rebate_depth", false, "", 0.1, 200, "How far the other wall reaches into the rebated one."),
  };
}

}  // namespace stillbox
