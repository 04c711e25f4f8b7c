// SPDX-License-Identifier: MIT
#include "postprocess/match_variant.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/case_node.h"
#include "postprocess/match_words.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

using Kind = MatchUnknown::Kind;

// A TOML basic string.
std::string toml_text(const std::string &text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\')
      out += fmt::format("\\{}", c);
    else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7f)
      out += fmt::format("\\u{:04X}", static_cast<unsigned char>(c));
    else
      out += c;
  }
  return out + "\"";
}

// Always with a point or exponent, six digits.
std::string real(double value) {
  std::string text = fmt::format("{:.7g}", value);
  if (text.find_first_of(".e") == std::string::npos) text += ".0";
  return text;
}

std::string line(const std::string &key, double value) { return key + " = " + real(value) + "\n"; }

std::string moduli(const StressLaw &law, const std::string &kind) {
  const OrthotropicConstants c = constants_of(law);
  const double gpa = 1e-9;
  if (kind == "isotropic") return line("youngs_modulus_gpa", gpa * c.e1);
  if (kind == "transversely isotropic")
    return line("youngs_modulus_in_plane_gpa", gpa * c.e1) + line("youngs_modulus_through_gpa", gpa * c.e3) +
           line("shear_modulus_through_gpa", gpa * c.g13);
  return line("youngs_modulus_along_gpa", gpa * c.e1) + line("youngs_modulus_across_gpa", gpa * c.e2) +
         line("youngs_modulus_through_gpa", gpa * c.e3) + line("shear_modulus_along_across_gpa", gpa * c.g12) +
         line("shear_modulus_along_through_gpa", gpa * c.g13) + line("shear_modulus_across_through_gpa", gpa * c.g23) +
         line("poissons_ratio_across_along", c.nu12 * c.e2 / c.e1);
}

// The standard error of the unknown of this kind as a tolerance, where the data determine it.
std::string tolerance(const MatchProblem &problem, const MatchResult &result, int material, Kind kind,
                      const std::string &key, double most) {
  for (std::size_t k = 0; k < problem.unknowns.size(); ++k) {
    const MatchUnknown &u = problem.unknowns[k];
    const double error = result.quality.standard_error[k];
    if (u.material == material && u.kind == kind && result.on_bound[k] == 0 && std::isfinite(error) &&
        100 * error < most)
      return line(key, std::max(0.1, std::round(1000 * error) / 10));
  }
  return "";
}

std::string material_block(const CaseFile &file, const std::string &materials_path, const MatchProblem &problem,
                           const MatchResult &result, const Structure &found, int material) {
  const Material &m = found.materials[material];
  const Node own = load_tree(file.path);
  const Node *list = own.find("material");
  std::string text = fmt::format("[variant.replace.material.{}]\n", toml_text(m.name));
  if (!list || !list->find(m.name)) text += "based_on = " + toml_text(m.name) + "\n";
  bool law = false, density = false;
  for (const MatchUnknown &u : problem.unknowns) {
    if (u.material != material) continue;
    density = density || u.kind == Kind::density;
    law = law || u.kind != Kind::density;
  }
  if (law) {
    text += moduli(m.law, kind_of_material(file.path, materials_path, m.name));
    text += tolerance(problem, result, material, Kind::modulus, "modulus_tolerance_percent", 80);
  }
  if (density)
    text += line("density_kg_m3", m.density) +
            tolerance(problem, result, material, Kind::density, "density_tolerance_percent", 50);
  for (std::size_t k = 0; k < problem.losses.size(); ++k)
    if (problem.losses[k].material == material) text += line("loss_factor", result.losses[k]);
  return text + "source = \"matched to heard frequencies\"\n";
}

std::string bond_block(const MatchProblem &problem, const MatchResult &result, const Structure &found,
                       const std::string &name) {
  const Bond &bond =
      *std::find_if(found.bonds.begin(), found.bonds.end(), [&](const Bond &b) { return b.name == name; });
  double loss = bond.loss_factor;
  for (std::size_t k = 0; k < problem.losses.size(); ++k)
    if (problem.losses[k].bond == name) loss = result.losses[k];
  return fmt::format("[variant.replace.{}]\nkind = \"soft\"\n", toml_text(name)) +
         line("normal_stiffness_mn_m2", 1e-6 * bond.normal) + line("shear_stiffness_mn_m2", 1e-6 * bond.shear) +
         line("loss_factor", loss);
}

bool differs(double a, double b) { return std::abs(a - b) > 1e-4 * std::abs(b) + 1e-12; }

}  // namespace

MatchedVariant matched_variant(const CaseFile &file, const std::string &materials_path, const MatchProblem &problem,
                               const MatchResult &result) {
  MatchedVariant v;
  const auto is_taken = [&](const std::string &name) {
    return std::any_of(file.variants.begin(), file.variants.end(),
                       [&](const Structure &s) { return s.variant_name == name; });
  };
  v.name = "matched";
  for (int n = 2; is_taken(v.name); ++n) v.name = fmt::format("matched {}", n);
  const Structure found = structure_with(*problem.start, problem.unknowns, result.ln_factors);
  v.block = fmt::format("[[variant]]\nname = {}\n", toml_text(v.name));
  if (problem.start->variant_name != file.variants.front().variant_name)
    v.block += "based_on = " + toml_text(problem.start->variant_name) + "\n";
  v.block += "note = \"materials and bonds matched to heard frequencies; not measured\"\n";
  std::vector<int> materials;
  std::vector<std::string> bonds;
  const auto add = [&](int material, const std::string &bond) {
    if (material >= 0 && std::find(materials.begin(), materials.end(), material) == materials.end())
      materials.push_back(material);
    if (!bond.empty() && std::find(bonds.begin(), bonds.end(), bond) == bonds.end()) bonds.push_back(bond);
  };
  for (const MatchUnknown &u : problem.unknowns) add(u.material, u.bond);
  for (const LossUnknown &u : problem.losses) add(u.material, u.bond);
  for (int m : materials) v.block += "\n" + material_block(file, materials_path, problem, result, found, m);
  for (const std::string &name : bonds) v.block += "\n" + bond_block(problem, result, found, name);
  v.text = text_with_block(file.path, v.block);
  return v;
}

std::string check_matched_variant(const MatchedVariant &variant, const std::string &materials_path,
                                  const MatchProblem &problem, const MatchResult &result) {
  const Structure found = structure_with(*problem.start, problem.unknowns, result.ln_factors);
  try {
    const CaseFile file = read_case_text(variant.text, "the matched case", materials_path);
    const Structure &s = file.variants.back();
    if (s.variant_name != variant.name) return "the variant is not the last one of the file";
    for (const Board &board : found.boards)
      for (const Layer &layer : board.layers) {
        const Material &m = found.materials[layer.material];
        const auto there =
            std::find_if(s.boards.begin(), s.boards.end(), [&](const Board &b) { return b.name == board.name; });
        if (there == s.boards.end()) return "board \"" + board.name + "\" is missing";
        const Material &read = s.materials[there->layers[&layer - board.layers.data()].material];
        double loss = m.loss_factor;
        for (std::size_t k = 0; k < problem.losses.size(); ++k)
          if (problem.losses[k].material == layer.material) loss = result.losses[k];
        if ((read.law - m.law).norm() > 1e-4 * m.law.norm() || differs(read.density, m.density) ||
            differs(read.loss_factor, loss))
          return "material \"" + m.name + "\" reads otherwise than it was found";
      }
    for (const Bond &bond : found.bonds) {
      double loss = bond.loss_factor;
      for (std::size_t k = 0; k < problem.losses.size(); ++k)
        if (problem.losses[k].bond == bond.name) loss = result.losses[k];
      const bool is_there = std::any_of(s.bonds.begin(), s.bonds.end(), [&](const Bond &b) {
        return b.name == bond.name && !differs(b.normal, bond.normal) && !differs(b.shear, bond.shear) &&
               !differs(b.loss_factor, loss);
      });
      if (!is_there) return "bond \"" + bond.name + "\" reads otherwise than it was found";
    }
  } catch (const CaseError &error) {
    return error.what();
  }
  return "";
}

}  // namespace stillbox
