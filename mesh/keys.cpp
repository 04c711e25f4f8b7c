// SPDX-License-Identifier: MIT
#include "mesh/keys.h"

// A table of declarations: long, and with one job.

namespace stillbox {
namespace {

using T = KeyType;
using Words = std::vector<std::string>;

const Words wall_names = {"baffle", "back", "left", "right", "top", "bottom"};
const Words directions = {"width", "depth", "height"};
const Words grains = {"along", "across", "width", "depth", "height"};
const Words cut_out_shapes = {"round", "rectangle", "slot"};

Key word(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::text, required, "", 0, 0, "", {}, prose};
}
Key length(const char *group, const char *name, bool required, const char *standard, double low, double high,
           const char *prose) {
  return {group, name, T::length, required, standard, low, high, "mm", {}, prose};
}
Key lengths(const char *group, const char *name, bool required, double low, double high, const char *prose) {
  return {group, name, T::lengths, required, "", low, high, "mm", {}, prose};
}
Key number(const char *group, const char *name, bool required, const char *standard, double low, double high,
           const char *unit, const char *prose) {
  return {group, name, T::number, required, standard, low, high, unit, {}, prose};
}
Key numbers(const char *group, const char *name, bool required, double low, double high, const char *unit,
            const char *prose) {
  return {group, name, T::numbers, required, "", low, high, unit, {}, prose};
}
Key choice(const char *group, const char *name, bool required, const char *standard, const Words &words,
           const char *prose) {
  return {group, name, T::choice, required, standard, 0, 0, "", words, prose};
}
Key words(const char *group, const char *name, bool required, const Words &choices, const char *prose) {
  return {group, name, T::texts, required, "", 0, 0, "", choices, prose};
}
Key table(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::table, required, "", 0, 0, "", {}, prose};
}
Key tables(const char *group, const char *name, bool required, const char *prose) {
  return {group, name, T::tables, required, "", 0, 0, "", {}, prose};
}

}  // namespace

const std::vector<Key> &all_keys() {
  static const std::vector<Key> keys = {
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

      word("material", "based_on", false, "Take everything from this material and change what is given here."),
      choice("material", "kind", true, "", {"isotropic", "transversely isotropic", "orthotropic"},
             "Which set of moduli it has; taken over with `based_on`."),
      number("material", "density_kg_m3", true, "", 10, 25000, "kg/m3",
             "Density; taken over with `based_on`, left out with `weighed`."),
      table("material", "weighed", false, "A piece of it on the scale, in place of `density_kg_m3`; see below."),
      number("material", "loss_factor", true, "", 0, 2, "",
             "Material loss factor (1/Q when all energy sits in it). Left out with `complex_modulus`."),
      number("material", "modulus_tolerance_percent", false, "10", 0, 80, "%", "Spread of all moduli together."),
      number("material", "density_tolerance_percent", false, "5", 0, 50, "%", "Spread of the density."),
      word("material", "source", false, "Where the figures come from."),
      number("weighed", "mass_kg", true, "", 0.0001, 2000, "kg", "Its mass."),
      length("weighed", "length", true, "", 1, 5000, "Its length."),
      length("weighed", "width", true, "", 1, 5000, "Its width."),
      length("weighed", "thickness", true, "", 0.05, 200, "Its thickness, by callipers, the mean of several places."),
      lengths("weighed", "holes", false, 1, 2000, "Diameters of round holes through it, such as [145, 76]."),
      number("material isotropic", "youngs_modulus_gpa", true, "", 1e-6, 1500, "GPa",
             "Young's modulus. Left out with `complex_modulus`."),
      number("material isotropic", "poissons_ratio", true, "", -0.9, 0.495, "", "Poisson's ratio."),
      table("material isotropic", "complex_modulus", false, "See `[material.NAME.complex_modulus]`."),
      numbers("complex_modulus", "frequency_hz", true, 1e-12, 1e15, "Hz",
              "The frequencies of the table, increasing, 2 .. 200 of them; reduced ones when it is a master curve."),
      numbers("complex_modulus", "shear_modulus_mpa", false, 1e-6, 1e6, "MPa",
              "Storage shear modulus at each frequency; either this or `youngs_modulus_mpa`."),
      numbers("complex_modulus", "youngs_modulus_mpa", false, 1e-6, 1e6, "MPa",
              "Storage Young's modulus at each frequency."),
      numbers("complex_modulus", "loss_factor", true, 1e-4, 3, "",
              "Loss factor (loss modulus / storage modulus) at each frequency; above 0, since its logarithm is used."),
      number("complex_modulus", "reference_temperature_c", true, "", -60, 150, "degrees C",
             "T0: the temperature the table holds at."),
      choice("complex_modulus", "shift", false, "none", {"none", "wlf", "arrhenius"},
             "How temperature shifts frequency. none: the table is used within 1 K of its temperature only, unless "
             "outside = \"hold\". wlf: log10 a_T = -C1 (T - T0) / (C2 + T - T0). arrhenius: log10 a_T = "
             "Ea / (2.303 R) (1/T - 1/T0), in kelvins."),
      number("complex_modulus", "wlf_c1", false, "", 0, 200, "", "C1 of wlf, for the T0 given here."),
      number("complex_modulus", "wlf_c2_k", false, "", 1, 1000, "K",
             "C2 of wlf, for the T0 given here; C2 + T - T0 must stay above 0."),
      number("complex_modulus", "activation_energy_kj_mol", false, "", 0, 2000, "kJ/mol", "Ea of arrhenius."),
      choice("complex_modulus", "outside", false, "refuse", {"refuse", "hold"},
             "What to do at a reduced frequency outside the table: refuse to compute, or hold the end values."),
      number("complex_modulus", "law_at_hz", false, "200", 1e-3, 1e5, "Hz",
             "Frequency at which the table gives the material's one stiffness and loss factor where no frequency is "
             "meant, at the case's temperature. The default is brought into the table's range."),
      number("material transversely isotropic", "youngs_modulus_in_plane_gpa", true, "", 1e-6, 1500, "GPa",
             "Young's modulus in the plane of the board."),
      number("material transversely isotropic", "youngs_modulus_through_gpa", true, "", 1e-6, 1500, "GPa",
             "Young's modulus through the thickness."),
      number("material transversely isotropic", "shear_modulus_through_gpa", true, "", 1e-6, 1500, "GPa",
             "Shear modulus between the plane and the thickness."),
      number("material transversely isotropic", "poissons_ratio_in_plane", true, "", -0.95, 0.95, "",
             "Contraction in the plane under stress in the plane."),
      number("material transversely isotropic", "poissons_ratio_through", true, "", -2, 2, "",
             "Contraction through the thickness under stress in the plane."),
      number("material orthotropic", "youngs_modulus_along_gpa", true, "", 1e-6, 1500, "GPa", "Along the grain."),
      number("material orthotropic", "youngs_modulus_across_gpa", true, "", 1e-6, 1500, "GPa", "Across the grain."),
      number("material orthotropic", "youngs_modulus_through_gpa", true, "", 1e-6, 1500, "GPa",
             "Through the thickness."),
      number("material orthotropic", "shear_modulus_along_across_gpa", true, "", 1e-6, 1500, "GPa",
             "Shear in the plane of the board."),
      number("material orthotropic", "shear_modulus_along_through_gpa", true, "", 1e-6, 1500, "GPa",
             "Shear between the grain and the thickness."),
      number("material orthotropic", "shear_modulus_across_through_gpa", true, "", 1e-6, 1500, "GPa",
             "Shear between across and the thickness (rolling shear)."),
      number("material orthotropic", "poissons_ratio_along_across", true, "", -3, 3, "",
             "Contraction across under stress along the grain."),
      number("material orthotropic", "poissons_ratio_along_through", true, "", -3, 3, "",
             "Contraction through the thickness under stress along the grain."),
      number("material orthotropic", "poissons_ratio_across_through", true, "", -3, 3, "",
             "Contraction through the thickness under stress across."),
      number("material orthotropic", "poissons_ratio_across_along", false, "", -3, 3, "",
             "Optional: checked to equal poissons_ratio_along_across times E across / E along, within 5 %."),

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
      choice("shape", "corners", false, "butted", {"butted", "mitred"},
             "How upright walls meet: by `run_through`, or each with a mitre; where a wall is bent all are mitred."),
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
      choice("solid named", "part", false, "wall", {"wall", "brace", "free"},
             "What it is, for labels and sums over walls."),
      numbers("solid named", "grain", false, -1e6, 1e6, "",
              "Direction [x, y, z] of the grain; along the longer side when left out."),
      numbers("solid named", "normal", false, -1e6, 1e6, "",
              "Direction [x, y, z] through its thickness; square to its largest face when left out."),
      length("solid named", "thickness_tolerance", false, "0", 0, 10, "Spread of its thickness."),
      word("solid layer", "name", true, "The layer's name in the file."),
      word("solid layer", "material", true, "The material of all solids on it that are not named."),
      choice("solid layer", "part", false, "wall", {"wall", "brace", "free"}, "What they are."),
      numbers("solid layer", "grain", false, -1e6, 1e6, "", "As for a named one."),
      numbers("solid layer", "normal", false, -1e6, 1e6, "", "As for a named one."),
      length("solid layer", "thickness_tolerance", false, "0", 0, 10, "Spread of their thickness."),

      words("joint", "edge", true, wall_names, "The two walls that meet."),
      choice("joint", "kind", false, "butt", {"butt", "rebate", "mitre"}, "How they meet."),
      choice(
          "joint", "through", false, "", wall_names,
          "Butt: the wall that runs through. Rebate: the wall the rebate is cut into. By run_through when left out."),
      length("joint", "rebate_depth", false, "", 0.1, 200, "How far the other wall reaches into the rebated one."),
      choice("joint", "bond", false, "glued", {"glued"}, "Glued; any other edge is described in `[[bond]]`."),

      word("sheet", "name", true,
           "Its name; its boards are called NAME on BOARD, and the side or the number of the patch where there are "
           "several."),
      words("sheet", "on", true, {}, "The walls, braces and free boards that carry it."),
      choice(
          "sheet", "side", false, "",
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
      choice("brace rib", "wall", true, "", wall_names, "The wall it is glued on."),
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

      words("crossing", "boards", true, {}, "The names of the two boards that cross."),
      choice("crossing", "kind", true, "", {"half-lapped", "butted"}, "How they share the wood."),
      word("crossing", "through", false, "Butted: the one that runs through; the first named when left out."),

      word("cut_out", "name", true, "A name of its own."),
      word("cut_out", "on", true, "A wall, a brace or a free board."),
      choice("cut_out", "shape", true, "", cut_out_shapes, "A slot has semicircular ends."),
      lengths(
          "cut_out", "centre", true, -5000, 5000,
          "[across, up]. On a wall: from the lower left corner of the cabinet's outer face, seen from outside (top: "
          "seen from above, front below; bottom: seen from below, back above). On a brace: from its low corner in "
          "the order width, depth, height. On a free board: u, v."),
      length("cut_out", "diameter", false, "", 2, 2000, "Of a round one."),
      lengths("cut_out", "size", false, 2, 5000, "[across, up] of a rectangle or slot, over all."),

      word("driver", "name", false, "A name; `CUT_OUT driver` when left out."),
      word("driver", "cut_out", true, "The cut-out it sits in."),
      number("driver", "mass_kg", true, "", 0.001, 200, "kg", "Its mass, magnet included."),
      choice("driver", "mounting", false, "mass only", {"mass only", "rigid basket"},
             "Mass only: spread evenly over the rim. Rigid basket: the rim moves as a rigid body."),
      length("driver", "centre_of_gravity_behind_face", false, "", -500, 1000,
             "Behind the outer face of the wall; for a rigid basket a quarter of the diameter when left out."),
      {"driver",
       "inertia_kg_m2",
       T::numbers,
       false,
       "",
       0,
       100,
       "kg m2",
       {},
       "[about across, about up, about the axis], through the centre of gravity. When left out, those of a solid "
       "cylinder with the diameter D of the cut-out and the length D/2: m D2/12 (across and up: 1/16 + 1/48) and "
       "m D2/8 about the axis: an estimate, override it."},
      number("driver", "moving_mass_g", false, "", 0.01, 2000, "g",
             "Small-signal parameters, all from here to `cone_area_cm2` or none: mass of cone, coil and the air that "
             "swings along, as data sheets have it."),
      number("driver", "compliance_mm_n", false, "", 0.001, 100, "mm/N", "Compliance of the suspension."),
      number("driver", "mechanical_q", false, "", 0.2, 100, "",
             "Q at the resonance in free air from the suspension's losses."),
      number("driver", "electrical_q", false, "", 0.02, 50, "",
             "Q there from the motor. Follows from the force factor and the other way round: give one, or both."),
      number("driver", "force_factor_tm", false, "", 0.05, 200, "T m",
             "Force factor, flux density times length of wire."),
      number("driver", "coil_resistance_ohm", false, "", 0.2, 1000, "ohm", "Of the voice coil, at direct current."),
      number("driver", "coil_inductance_mh", false, "0", 0, 50, "mH", "Of the voice coil; may be left out."),
      number("driver", "cone_area_cm2", false, "", 0.5, 20000, "cm2", "Effective area of the cone."),
      number("driver", "voltage_v", false, "2.83", 0.01, 100, "V",
             "Voltage at its terminals, rms, for `drive`: small-signal figures, no crossover."),

      word("port", "name", false, "A name; `CUT_OUT port` when left out."),
      word("port", "cut_out", true, "The cut-out of a wall it sits in."),
      length("port", "length", false, "", 0.05, 2000,
             "From the wall's outer face to the inner mouth, at least the wall's thickness, which it is when left out: "
             "a plain hole."),
      length("port", "diameter", false, "", 2, 2000,
             "Clear diameter of the tube (of a cut-out that is not round: of the circle of the same area); that of the "
             "cut-out when left out."),
      choice("port", "inner_end", false, "plain", {"plain", "flared"},
             "The mouth inside. Plain: end correction 0.6133 r of an unflanged tube; flared: 8 r / (3 pi) of a flanged "
             "one, as for a mouth that is flush with the wall. The outer end is flush: 8 r / (3 pi)."),

      word("lining", "name", true, "A name of its own."),
      words("lining", "on", true, wall_names, "The walls whose inner face it covers."),
      length("lining", "thickness", true, "", 1, 1000, "From the wall's inner face into the air."),
      number(
          "lining", "flow_resistivity_pa_s_m2", true, "", 1, 1e6, "Pa s/m2",
          "Resistance to steady flow, per metre of thickness (ISO 9053-1). Some thousand for light felt and wool, ten "
          "thousand and more for dense felt: typical, override it."),
      word("filling", "name", true, "A name of its own."),
      lengths("filling", "from", false, 0, 5000,
              "Low corner of the box that is filled, [width, depth, height] from the cabinet's outer front lower left "
              "corner; the lowest of the inside when left out."),
      lengths("filling", "to", false, 0, 5000, "Its high corner; the highest of the inside when left out."),
      number("filling", "flow_resistivity_pa_s_m2", true, "", 1, 1e6, "Pa s/m2",
             "As for a lining; it grows with how densely the filling is packed."),

      length("driver", "depth_behind_face", false, "", 1, 1000,
             "How far it reaches behind the outer face of the wall; only `place` asks, to keep braces clear of it."),

      word("mass", "name", true, "A name."),
      word("mass", "on", true, "A wall, a brace or a free board."),
      lengths("mass", "at", false, -5000, 5000, "[across, up] as for a cut-out; either this or `area`."),
      table("mass", "area", false, "The rectangle it is spread over."),
      choice("mass", "face", false, "", {"outer", "inner", "low", "high"},
             "Walls: outer or inner (default inner). Braces and free boards: low or high side of the normal (default "
             "high)."),
      number("mass", "mass_kg", true, "", 0.0001, 500, "kg", "How heavy it is."),
      lengths("area", "from", true, -5000, 5000, "Low corner [across, up]."),
      lengths("area", "to", true, -5000, 5000, "High corner [across, up]."),

      word("foot", "name", false, "A name; `foot N` when left out."),
      word("foot", "on", true, "A wall, a brace or a free board."),
      lengths("foot", "at", true, -5000, 5000, "[across, up] as for a cut-out."),
      choice("foot", "face", false, "", {"outer", "inner", "low", "high"},
             "As for a mass; default outer, on free boards low."),
      {"foot", "stiffness_n_m", T::numbers, true, "", 0, 1e10, "N/m", {}, "One number, or [x, y, z]."},

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

      word("edge_support", "board", true, "A wall, brace or free board."),
      choice("edge_support", "edge", false, "all", {"u low", "u high", "v low", "v high", "all"}, "Which edge."),
      choice("edge_support", "kind", true, "", {"clamped", "simply supported soft", "simply supported hard"},
             "Clamped: no displacement. Simply supported soft: none along the board's normal. Hard: none along the "
             "normal and none along the edge."),

      word("bond", "name", true, "A name of its own."),
      words("bond", "between", false, {}, "The two boards that meet: walls, braces or free boards, not mitred."),
      word("bond", "of", false,
           "Instead of `between`: one board, for all edges where it touches another one and is not left loose by its "
           "key `glued`."),
      choice(
          "bond", "kind", false, "glued", {"glued", "screwed", "gasketed", "soft", "loose"},
          "glued: rigid. screwed: a row of screws square to the contact face. gasketed: on a gasket, with the screws "
          "or clips that press it. soft: any other yielding edge, such as flexible adhesive. loose: not joined at "
          "all."),
      length("bond", "spacing", false, "", 5, 2000, "Screwed: from screw to screw."),
      number("bond", "slip_modulus_n_mm", false, "3000", 1, 1e6, "N/mm",
             "Screwed: stiffness of one screw against sliding of the boards. The default is typical, from memory, "
             "override me."),
      number("bond", "withdrawal_stiffness_n_mm", false, "4000", 1, 1e6, "N/mm",
             "Screwed: stiffness of one screw against the boards' parting. The default is typical, from memory, "
             "override me."),
      number(
          "bond", "normal_stiffness_mn_m2", false, "", 1e-6, 1e6, "MN/m2",
          "Gasketed or soft: stiffness square to the contact face, MN/m per metre of edge. A foam strip of 3 x 18 mm "
          "has some 3 .. 30, typical, from memory."),
      number("bond", "shear_stiffness_mn_m2", false, "", 1e-6, 1e6, "MN/m2",
             "Gasketed or soft: stiffness in the contact face, MN/m per metre of edge."),
      number("bond", "loss_factor", false, "", 0, 3, "",
             "Loss factor of the springs. When left out 0.03 screwed and 0.2 gasketed: typical, from memory, override "
             "me. Soft: must be given."),

      word("variant", "name", true, "A name of its own."),
      word("variant", "note", false, "Remarks."),
      word("variant", "from", false, "An earlier variant it builds on; the base when left out."),
      words("variant", "remove", false, {},
            "Names of sheets, braces, cut-outs, drivers, masses, feet, boards or bonds; a crossing or bond goes with "
            "either of its boards."),
      table("variant", "replace", false,
            "NAME = { keys } changes keys of a named item (a new `kind` of bond starts without the old springs); a "
            "wall name changes that wall; `cabinet`, `shape` and `material` "
            "change those tables."),
      tables("variant", "move", false, "New places of named items."),
      table("variant", "add", false,
            "KIND = [{ ... }] with the kinds sheet, brace, crossing, cut_out, driver, mass, "
            "foot, board, edge_support, bond."),
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
      lengths("move", "centre", false, -5000, 5000, "As for a cut-out; of the `area` of a sheet."),
      lengths("move", "origin", false, -10000, 10000, "As for a free board."),
      length("move", "from", false, "", 0, 5000, "As for a rib or corner block."),
      length("move", "to", false, "", 0, 5000, "As for a rib or corner block."),
  };
  return keys;
}

}  // namespace stillbox
