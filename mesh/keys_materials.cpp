// SPDX-License-Identifier: MIT
// Keys of materials: a table of declarations.
#include "mesh/key_makers.h"

namespace stillbox {

std::vector<Key> material_keys() {
  using namespace key_makers;
  return {
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
  };
}

}  // namespace stillbox
