// SPDX-License-Identifier: MIT
// Keys of what is fixed to boards, of the air inside and of edges that are not glued: a table of declarations.
#include "mesh/key_makers.h"

namespace stillbox {

std::vector<Key> fitting_keys() {
  using namespace key_makers;
  return {
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
      length("driver", "depth_behind_face", false, "", 1, 1000,
             "How far it reaches behind the outer face of the wall; only `place` asks, to keep braces clear of it."),

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

      word("mass", "name", true, "A name."),
      word("mass", "on", true, "A wall, a brace or a free board."),
      lengths("mass", "at", false, -5000, 5000, "[across, up] as for a cut-out; either this or `area`."),
      table("mass", "area", false, "The rectangle it is spread over."),
      choice("mass", "face", false, "", {"outer", "inner", "low", "high"},
             "Walls: outer or inner (default inner). Braces and free boards: low or high side of the normal (default "
             "high)."),
      number("mass", "mass_kg", true, "", 0.0001, 500, "kg", "How heavy it is."),
      lengths("area", "centre", true, -5000, 5000, "Its middle, [across, up] as for a cut-out."),
      lengths("area", "size", true, 1, 5000, "How far it reaches, [across, up]."),

      word("foot", "name", false, "A name; `foot N` when left out."),
      word("foot", "on", true, "A wall, a brace or a free board."),
      lengths("foot", "at", true, -5000, 5000, "[across, up] as for a cut-out."),
      choice("foot", "face", false, "", {"outer", "inner", "low", "high"},
             "As for a mass; default outer, on free boards low."),
      {"foot", "stiffness_n_m", T::numbers, true, "", 0, 1e10, "N/m", {}, "One number, or [x, y, z]."},

      word("edge_support", "on", true, "A wall, brace or free board."),
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
  };
}

}  // namespace stillbox
