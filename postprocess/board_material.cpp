// SPDX-License-Identifier: MIT
#include "postprocess/board_material.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "mesh/length.h"
#include "postprocess/text.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

bool alike(double a, double b) { return std::abs(a - b) <= 1e-6 * std::max(std::abs(a), std::abs(b)) + 1e-12; }

std::string comment(const std::string &text) {
  std::string out;
  for (const std::string &line : wrap(clean_text(text), 116)) out += "# " + line + "\n";
  return out;
}

std::string entry(const char *key, double value) { return fmt::format("{} = {}\n", key, number_text(value)); }

}  // namespace

BoardBase board_base(const Material &material) {
  if (material.viscoelastic) throw std::domain_error("is tabled over frequency; choose a board's material");
  const StressLaw s = material.law.inverse();
  BoardBase base;
  base.name = material.name;
  base.density = material.density;
  base.loss_factor = material.loss_factor;
  OrthotropicConstants &c = base.constants;
  c.e1 = 1 / s(0, 0);
  c.e2 = 1 / s(1, 1);
  c.e3 = 1 / s(2, 2);
  c.nu12 = -s(0, 1) * c.e1;
  c.nu13 = -s(0, 2) * c.e1;
  c.nu23 = -s(1, 2) * c.e2;
  c.g23 = 1 / s(3, 3);
  c.g13 = 1 / s(4, 4);
  c.g12 = 1 / s(5, 5);
  const bool is_in_plane =
      alike(c.e1, c.e2) && alike(c.g13, c.g23) && alike(c.nu13, c.nu23) && alike(c.g12, c.e1 / (2 * (1 + c.nu12)));
  const bool is_all = is_in_plane && alike(c.e1, c.e3) && alike(c.nu12, c.nu13) && alike(c.g12, c.g13);
  base.kind = is_all        ? BoardBase::Kind::isotropic
              : is_in_plane ? BoardBase::Kind::transversely_isotropic
                            : BoardBase::Kind::orthotropic;
  return base;
}

BoardBase scaled(const BoardBase &base, double modulus, bool across) {
  BoardBase result = base;
  OrthotropicConstants &c = result.constants;
  const double factor = modulus / (across ? c.e2 : c.e1);
  for (double *value : {&c.e1, &c.e2, &c.e3, &c.g12, &c.g13, &c.g23}) *value *= factor;
  return result;
}

std::string material_block(const BoardMaterial &material) {
  const OrthotropicConstants &c = material.base.constants;
  std::string out = comment(material.found) + comment(material.typical);
  out += "[material." + toml_string(material.name) + "]\n";
  const double gpa = 1e9;
  switch (material.base.kind) {
    case BoardBase::Kind::isotropic:
      out += "kind = \"isotropic\"\n" + entry("youngs_modulus_gpa", c.e1 / gpa) + entry("poissons_ratio", c.nu12);
      break;
    case BoardBase::Kind::transversely_isotropic:
      out += "kind = \"transversely isotropic\"\n" + entry("youngs_modulus_in_plane_gpa", c.e1 / gpa) +
             entry("youngs_modulus_through_gpa", c.e3 / gpa) + entry("shear_modulus_through_gpa", c.g13 / gpa) +
             entry("poissons_ratio_in_plane", c.nu12) + entry("poissons_ratio_through", c.nu13);
      break;
    case BoardBase::Kind::orthotropic:
      out += "kind = \"orthotropic\"\n" + entry("youngs_modulus_along_gpa", c.e1 / gpa) +
             entry("youngs_modulus_across_gpa", c.e2 / gpa) + entry("youngs_modulus_through_gpa", c.e3 / gpa) +
             entry("shear_modulus_along_across_gpa", c.g12 / gpa) +
             entry("shear_modulus_along_through_gpa", c.g13 / gpa) +
             entry("shear_modulus_across_through_gpa", c.g23 / gpa) + entry("poissons_ratio_along_across", c.nu12) +
             entry("poissons_ratio_along_through", c.nu13) + entry("poissons_ratio_across_through", c.nu23);
      break;
  }
  out += entry("density_kg_m3", material.base.density) + entry("loss_factor", material.base.loss_factor);
  out += entry("modulus_tolerance_percent", std::clamp(std::ceil(1000 * material.modulus_tolerance) / 10, 0.1, 80.0));
  out += entry("density_tolerance_percent", std::clamp(std::ceil(1000 * material.density_tolerance) / 10, 0.1, 50.0));
  out += "source = " + toml_string(material.found) + "\n";
  return out;
}

std::string board_json(const TappedPiece &piece, const BoardMaterial &material) {
  using Json = nlohmann::ordered_json;
  const OrthotropicConstants &c = material.base.constants;
  const double gpa = 1e9;
  static const char *const kinds[] = {"isotropic", "transversely isotropic", "orthotropic"};
  const Json json = {{"schema", "stillbox board 1"},
                     {"piece",
                      {{"shape", piece.is_plate ? "plate" : "strip"},
                       {"length_mm", 1e3 * piece.length},
                       {"width_mm", 1e3 * piece.width},
                       {"thickness_mm", 1e3 * piece.thickness},
                       {"mass_kg", piece.mass}}},
                     {"material",
                      {{"name", clean_text(material.name)},
                       {"kind", kinds[int(material.base.kind)]},
                       {"found", clean_text(material.found)},
                       {"typical", clean_text(material.typical)},
                       {"youngs_modulus_gpa", {c.e1 / gpa, c.e2 / gpa, c.e3 / gpa}},
                       {"shear_modulus_gpa", {c.g12 / gpa, c.g13 / gpa, c.g23 / gpa}},
                       {"poissons_ratio", {c.nu12, c.nu13, c.nu23}},
                       {"density_kg_m3", material.base.density},
                       {"loss_factor", material.base.loss_factor},
                       {"modulus_tolerance_percent", 100 * material.modulus_tolerance},
                       {"density_tolerance_percent", 100 * material.density_tolerance}}},
                     {"case_file", material_block(material)}};
  return json.dump(2) + "\n";
}

}  // namespace stillbox
