// SPDX-License-Identifier: MIT
// The tables of a case file, for messages and the reference (declared in keys.h).
#include "mesh/keys.h"

namespace stillbox {

const std::vector<KeyGroup> &all_key_groups() {
  static const std::vector<KeyGroup> groups = {
      {"case", "top of the file", "A case needs a `[cabinet]`, a `[shape]`, `[solids]` or at least one `[[board]]`."},
      {"mesh", "[mesh]", "How finely to compute. Everything here may be left out."},
      {"material", "[material.NAME]",
       "A material of your own, or one that builds on another. Names may be quoted: `[material.\"my board\"]`."},
      {"weighed", "weighed = { ... } of a material",
       "A rectangular piece of the board, such as an off-cut or a panel that came off, on a scale. Density = mass / "
       "((length x width - area of the holes) x thickness)."},
      {"material isotropic", "[material.NAME] of kind \"isotropic\"", "Metals, plastics: alike in all directions."},
      {"material transversely isotropic", "[material.NAME] of kind \"transversely isotropic\"",
       "Fibre and particle boards: alike in every direction of the board's plane, softer through the thickness."},
      {"material orthotropic", "[material.NAME] of kind \"orthotropic\"",
       "Wood and plywood: along the grain, across it in the plane of the board, through the thickness."},
      {"complex_modulus", "[material.NAME.complex_modulus]",
       "Of an isotropic material whose stiffness and loss depend on frequency and temperature: the storage modulus and "
       "the loss factor at a row of frequencies, in place of youngs_modulus_gpa and loss_factor of the material. "
       "Poisson's ratio stays real and constant. The form is that of ISO 10112: at another temperature the table is "
       "read at the reduced frequency f a_T. Between the rows the logarithms of modulus and loss factor are linear "
       "over the logarithm of frequency."},
      {"cabinet", "[cabinet]", "Six walls that enclose a box."},
      {"size", "outer_size and inner_size", "Size of the box."},
      {"board", "[cabinet.board] and [cabinet.wall.WALL]",
       "The board the walls are cut from, and what is different for one of them: baffle, back, left, right, top or "
       "bottom. Also understood by `[[brace]]`."},
      {"layer", "layers = [{ ... }]",
       "One layer of a laminated board. Layers are listed from the outside in: for a wall from its outer face, for a "
       "sheet from the board outwards (core first), for a brace or a free board from its low face (normal coordinate "
       "0) up."},
      {"shape", "[shape]",
       "A cabinet that is no shoe box, instead of `[cabinet]`: upright or leaning walls over any footprint, bent "
       "walls, or a tube. Meshed with hexahedra or tetrahedra, see `elements`. Braces are shelves and windows right "
       "across the inside, of two that cross the one listed first runs through; cut-outs go into flat walls and "
       "braces, seen from the lower left corner of the footprint's wall from outside. Damping sheets, bonds, linings, "
       "bars and ribs are refused."},
      {"shape wall", "[shape.board] and [shape.wall.NAME]",
       "The board the walls are cut from, and what is different for one of them."},
      {"tube", "tube = { ... } of a shape", "A round tube with a flat board at each end."},
      {"chamfer", "[[shape.chamfer]]", "An outer edge that is bevelled by a plane cut; wood must be left behind it."},
      {"solids", "[solids]",
       "Boards as they were drawn elsewhere, instead of `[cabinet]`: a STEP file whose closed solids touch by faces. "
       "Every solid needs a material, by its name or its layer. `[[cut_out]]`, `[[driver]]`, `[[mass]]` and `[[foot]]` "
       "work on flat ones, counted from the lower left corner of the board itself, seen from outside."},
      {"solid named", "[[solids.named]]", "What a solid of the file is made of."},
      {"solid layer", "[[solids.layer]]", "The same for all solids on a layer; a named solid has its own say."},
      {"joint", "[[cabinet.joint]]",
       "How two walls meet, where it is not a butt joint in the order of run_through. Joints are glued; an edge that "
       "is "
       "not is described in `[[bond]]`."},
      {"sheet", "[[sheet]]",
       "A damping sheet glued on faces of walls, braces or free boards: over the whole clear face, around what is "
       "glued "
       "there, or as patches, which must stay clear of that. Cut-outs go through the sheets that cover them; the edge "
       "of "
       "a patch stays `mesh.minimum_web` away from them. Several sheets may share a face where they do not overlap."},
      {"patch", "area = { ... } and areas = [{ ... }] of a sheet",
       "A rectangle of the face, in the coordinates of a cut-out on that board."},
      {"brace", "[[brace]]", "A brace inside the cabinet, of one of five kinds."},
      {"brace shelf", "[[brace]] of kind \"shelf\"", "A full board across the box."},
      {"brace window", "[[brace]] of kind \"window\"", "A shelf with rectangular openings."},
      {"openings", "openings = { ... } of a window",
       "Equal openings in rows and columns; default one with a rim of 45 mm."},
      {"opening", "openings = [{ ... }] of a window", "Openings one by one."},
      {"brace rib", "[[brace]] of kind \"rib\"", "A strip glued on edge on one wall."},
      {"brace bar", "[[brace]] of kind \"bar\"", "A rectangular bar between two opposite walls."},
      {"brace corner block", "[[brace]] of kind \"corner block\"", "A rectangular block in the corner of two walls."},
      {"crossing", "[[crossing]]",
       "How two boards that cross share the wood. Default: a half-lap between two shelves or windows; otherwise the "
       "shelf "
       "or window runs through; of two alike the one listed first."},
      {"cut_out", "[[cut_out]]", "A hole through a wall, a brace or a free board and its sheets."},
      {"driver", "[[driver]]", "A driver, held at the rim of a cut-out."},
      {"port", "[[port]]",
       "A tube through a cut-out of a wall that lets the inside breathe. A cut-out with neither a driver nor a port is "
       "closed, as by a terminal plate. For `air` and `drive`; the walls' own modes do not change."},
      {"lining", "[[lining]]",
       "Felt, wool or foam on inner faces of walls, for `air` and `drive`: it acts on the air, not on the wall. It is "
       "left "
       "out in front of drivers and ports. Where two overlap the one listed first counts. A damping sheet below it "
       "takes its share of the thickness."},
      {"filling", "[[filling]]",
       "The same packed loosely into a box of the inside, or into all of it. Linings come before fillings."},
      {"mass", "[[mass]]", "A mass without stiffness, at a point or spread over an area."},
      {"area", "area = { ... } of a mass", "The rectangle the mass is spread over."},
      {"foot", "[[foot]]", "Springs between a point and the ground. Without any foot the structure floats freely."},
      {"free board", "[[board]]",
       "A board on its own. Boards whose sides lie along x, y, z are glued where they touch; all others must stand "
       "clear of every board."},
      {"edge_support", "[[edge_support]]", "Holds an edge of a board still."},
      {"bond", "[[bond]]",
       "An edge that is not glued, between two boards that touch. Springs spread evenly over the contact face join the "
       "two; their stiffness is given per metre of edge. A sheet that ends at such an edge is not joined across it. A "
       "third board that is glued to both bridges it."},
      {"place", "[place]", "What the command `place` tries: where a brace goes, how thick it is, and for what aim."},
      {"place vary", "[[place.vary]]",
       "One thing that is varied; several give all combinations. Either `values`, or `from`, `to` and `step`."},
      {"variant", "[[variant]]", "A named change to the base: first `remove`, then `replace`, `move` and `add`."},
      {"move", "move = [{ ... }] of a variant", "New places for named items."},
  };
  return groups;
}

}  // namespace stillbox
