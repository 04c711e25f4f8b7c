// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include "postprocess/start_command.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

const char *const teardown_head =
    R"(# Teardown of a loudspeaker cabinet. Fill in every "?" and delete the parts this one does not have.
# `stillbox check` on this file lists what is still open, and at the end prints mass and litres to compare.
#
# Tools: callipers, ruler, kitchen scale. Lengths in mm ("3/4 in" works too), masses in kg.
# Cautions: pull the mains plug; a powered box keeps charge in its capacitors and has mains inside: leave its amplifier
# to qualified people. Wear a mask against the dust of broken fibre board, gloves for wool and foam. Lift heavy boxes
# with two. Note where every screw and gasket came from: a screwed edge is not a glued one (see [[bond]] below).
)";

const char *const teardown_body = R"(up_to_hz = 1000

[cabinet]
outer_size = { width = "?", depth = "?", height = "?" }    # ruler, outside, without grille and feet
# Thickness by callipers, at the driver's or terminal cup's hole; mean of three places.
board = { material = "wall board", thickness = "?", thickness_tolerance = 0.2 }

[cabinet.wall.baffle]
material = "baffle board"
thickness = "?"

[cabinet.wall.back]
material = "back board"
thickness = "?"

# Every part that came off goes on the scale: its density follows. based_on: what it looks like (mdf, hdf,
# particleboard, birch-plywood-12mm, -15mm, -18mm, -21mm, spruce, birch-solid, aluminium, steel, acrylic).
# A part that cannot be weighed: delete its line `weighed`; the typical density of based_on then stands.
# holes: the diameters of round holes through the piece; delete the entry when there is none.
[material."wall board"]
based_on = "mdf"
weighed = { length = "?", width = "?", thickness = "?", mass_kg = "?" }

[material."baffle board"]
based_on = "mdf"
weighed = { length = "?", width = "?", thickness = "?", mass_kg = "?", holes = ["?", "?"] }

[material."back board"]
based_on = "mdf"
weighed = { length = "?", width = "?", thickness = "?", mass_kg = "?", holes = ["?"] }

# Cut-outs. centre: across and up from the lower left corner of the cabinet's outer face, seen from outside. diameter: the
# through hole, not the recess of the flange.
[[cut_out]]
name = "woofer"
on = "baffle"
shape = "round"
centre = ["?", "?"]
diameter = "?"

[[cut_out]]
name = "tweeter"
on = "baffle"
shape = "round"
centre = ["?", "?"]
diameter = "?"

[[cut_out]]
name = "terminals"
on = "back"
shape = "round"
centre = ["?", "?"]
diameter = "?"

# Drivers on the scale. mounting: "rigid basket" for a cast one bolted all round, else "mass only".
[[driver]]
cut_out = "woofer"
mass_kg = "?"
mounting = "mass only"

[[driver]]
cut_out = "tweeter"
mass_kg = "?"
mounting = "mass only"

# Braces, one table each; `stillbox keys` describes the kinds.
[[brace]]
name = "brace"
kind = "shelf"
normal = "height"      # the direction it stands square to
at = "?"               # middle of its thickness above the inner face of the bottom
thickness = "?"

# The crossover board, lead weights and the like.
[[mass]]
name = "crossover"
on = "bottom"
at = ["?", "?"]
mass_kg = "?"

# An edge that was screwed on a gasket, such as a removable back; delete when all edges are glued. Its stiffness is a
# guess until a knock test tells: see `stillbox match`.
# [[bond]]
# name = "back gasket"
# of = "back"
# kind = "gasketed"
# normal_stiffness_mn_m2 = 10
# shear_stiffness_mn_m2 = 3

# At the end: mass of the whole cabinet as it stood on the scale, to compare with what `stillbox check` prints:   kg
)";

}  // namespace

std::string teardown_text(const std::string &name) {
  return teardown_head + fmt::format("name = {}\nbase_name = \"as found\"\n", toml_string(name)) + teardown_body;
}

}  // namespace stillbox
