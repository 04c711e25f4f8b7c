// SPDX-License-Identifier: MIT
#include "mesh/materials_list.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include "mesh/case_file.h"
#include "mesh/case_viscoelastic.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr std::size_t most_materials = 200;
constexpr double gpa = 1e9;
const char *const ring_advice = "do not base materials on each other in a ring";

const Node *table_of(const Node *list, const std::string &name) {
  const Node *node = list ? list->find(name) : nullptr;
  return node && node->kind == Node::Kind::table ? node : nullptr;
}

/// The table of a material with everything it is based on merged in; nothing when that cannot be found.
std::optional<Node> resolved(const Node *built_in, const Node *own, const std::string &name, const Node &node,
                             Problems &problems, int depth) {
  const Node *base_name = node.find("based_on");
  if (!base_name) return node;
  const Place at{*base_name->file, base_name->line, "material." + name + ".based_on"};
  if (base_name->kind != Node::Kind::text) {
    problems.add(at, value_text(*base_name), "the name of a material", "give a text in quotes");
    return std::nullopt;
  }
  // A material may refine the built-in one of the same name.
  const Node *base = base_name->text == name ? nullptr : table_of(own, base_name->text);
  if (!base) base = table_of(built_in, base_name->text);
  if (!base) {
    std::vector<std::string> known;
    for (const Node *list : {own, built_in})
      if (list)
        for (const auto &entry : list->entries) known.push_back(entry.first);
    problems.add(at, value_text(*base_name), joined(known), "unknown material: " + suggestion(base_name->text, known));
    return std::nullopt;
  }
  if (depth >= 8) {
    const bool is_known = std::any_of(problems.list.begin(), problems.list.end(),
                                      [](const Problem &p) { return p.advice == ring_advice; });
    if (!is_known) problems.add(at, value_text(*base_name), "a chain of up to 8 materials", ring_advice);
    return std::nullopt;
  }
  const auto below = resolved(built_in, own, base_name->text, *base, problems, depth + 1);
  if (!below) return std::nullopt;
  return merged(*below, node);
}

StressLaw read_law(const Reader &r, const std::string &kind) {
  if (kind == "isotropic") return isotropic_law(r.number("youngs_modulus_gpa") * gpa, r.number("poissons_ratio"));
  if (kind == "transversely isotropic") {
    const double e = r.number("youngs_modulus_in_plane_gpa") * gpa, e3 = r.number("youngs_modulus_through_gpa") * gpa;
    const double nu = r.number("poissons_ratio_in_plane"), nu3 = r.number("poissons_ratio_through");
    const double g3 = r.number("shear_modulus_through_gpa") * gpa;
    return orthotropic_law({e, e, e3, nu, nu3, nu3, e / (2 * (1 + nu)), g3, g3});
  }
  return orthotropic_law({r.number("youngs_modulus_along_gpa") * gpa, r.number("youngs_modulus_across_gpa") * gpa,
                          r.number("youngs_modulus_through_gpa") * gpa, r.number("poissons_ratio_along_across"),
                          r.number("poissons_ratio_along_through"), r.number("poissons_ratio_across_through"),
                          r.number("shear_modulus_along_across_gpa") * gpa,
                          r.number("shear_modulus_along_through_gpa") * gpa,
                          r.number("shear_modulus_across_through_gpa") * gpa});
}

/// The reciprocity nu_21 / E_2 = nu_12 / E_1, where the file gives both ratios.
void check_reciprocity(const Reader &r) {
  if (!r.has("poissons_ratio_across_along")) return;
  const double given = r.number("poissons_ratio_across_along");
  const double wanted = r.number("poissons_ratio_along_across") * r.number("youngs_modulus_across_gpa") /
                        r.number("youngs_modulus_along_gpa");
  if (std::abs(given - wanted) > 0.05 * std::abs(wanted) + 1e-6)
    r.refuse("poissons_ratio_across_along", number_text(wanted) + " within 5 %",
             "it must equal poissons_ratio_along_across times E across / E along; leave it out or correct one of them");
}

/// The table of a viscoelastic material and the law that goes with it, in place of a constant modulus and loss factor.
void read_table(const Reader &r, double temperature, Material &m) {
  for (const char *constant : {"youngs_modulus_gpa", "loss_factor"})
    if (r.has(constant))
      r.refuse(constant, "not together with complex_modulus", "remove this key, or the table complex_modulus");
  const double nu = r.number("poissons_ratio");
  const auto table = r.table("complex_modulus", {"complex_modulus"});
  const auto read = table ? read_complex_modulus(*table, temperature) : std::nullopt;
  if (!read) return;
  const double per_table = read->table.kind == Viscoelastic::Modulus::shear ? 2 * (1 + nu) : 1;
  m.law = isotropic_law(per_table * read->there.modulus, nu);
  m.loss_factor = read->there.loss_factor;
  m.law_frequency = read->law_at;
  m.law_modulus = read->there.modulus;
  m.viscoelastic = read->table;
}

/// kg/m3, from the key or from a weighed piece.
double read_density(const Reader &r) {
  if (!r.has("weighed")) return r.number("density_kg_m3");
  if (r.has("density_kg_m3")) r.refuse("density_kg_m3", "one of density_kg_m3 and weighed", "remove one of the two");
  const std::size_t before = r.problems->found;
  const auto piece = r.table("weighed", {"weighed"});
  if (!piece) return 0;
  piece->refuse_unknown_keys();
  const double mass = piece->number("mass_kg"), length = piece->length("length"), width = piece->length("width");
  const double thickness = piece->length("thickness");
  double area = length * width, holes = 0;
  if (piece->has("holes"))
    for (const double d : piece->lengths("holes", 1, 20)) holes += M_PI / 4 * d * d;
  if (r.problems->found > before) return 0;
  if (holes > 0.95 * area) {
    piece->refuse("holes", "less area than the piece has", "the holes take all of the piece; check the diameters");
    return 0;
  }
  area -= holes;
  const double density = mass / (area * thickness);
  const Key &key = *find_key(r.groups, "density_kg_m3");
  if (density < key.low || density > key.high)
    r.refuse_value("weighed", "gives " + number_text(density) + " kg/m3", range_text_of(key),
                   "check the mass (kg) and the sizes (mm) of the piece");
  return density;
}

std::optional<Material> read_material(const std::string &name, const Node &node, double temperature,
                                      Problems &problems) {
  const std::size_t before = problems.found;
  Reader r{&problems, &node, "material." + name, {"material"}};
  const std::string kind = r.text("kind");
  if (problems.found > before) return std::nullopt;
  if (kind != "isotropic" && node.find("complex_modulus")) {
    r.refuse_value("complex_modulus", "a table of a material of kind \"" + kind + "\"",
                   "with kind = \"isotropic\" only", "remove the table, or describe the material as isotropic");
    return std::nullopt;
  }
  r.groups.push_back("material " + kind);
  r.refuse_unknown_keys();
  Material m;
  m.name = name;
  m.density = read_density(r);
  m.modulus_tolerance = r.number("modulus_tolerance_percent") / 100;
  m.density_tolerance = r.number("density_tolerance_percent") / 100;
  m.source = r.has("source") ? r.text("source") : "given in the case file";
  if (kind == "orthotropic") check_reciprocity(r);
  try {
    if (r.has("complex_modulus")) {
      read_table(r, temperature, m);
    } else {
      m.loss_factor = r.number("loss_factor");
      m.law = read_law(r, kind);
    }
  } catch (const std::domain_error &e) {
    if (problems.found == before)
      problems.add(
          r.place(), kind, "a positive definite stress law",
          std::string(e.what()) + "; each Poisson's ratio must stay below the root of the ratio of its moduli");
  }
  if (problems.found > before) return std::nullopt;
  return m;
}

void read_into(MaterialsList &list, const Node *from, const Node *built_in, const Node *own, double temperature,
               Problems &problems) {
  if (!from) return;
  if (from->kind != Node::Kind::table || from->entries.size() > most_materials) {
    problems.add({*from->file, from->line, "material"}, value_text(*from), "up to 200 tables [material.NAME]",
                 "write each material as [material.NAME]");
    return;
  }
  for (const auto &[name, node] : from->entries) {
    if (node.kind != Node::Kind::table) {
      problems.add({*node.file, node.line, "material." + name}, value_text(node), "a table",
                   "write [material.NAME] and its keys below");
      continue;
    }
    const auto whole = resolved(built_in, own, name, node, problems, 0);
    const auto material = whole ? read_material(name, *whole, temperature, problems) : std::nullopt;
    if (material) list.materials.push_back(*material);
  }
}

}  // namespace

const Material *MaterialsList::find(const std::string &name) const {
  const Material *found = nullptr;
  for (const Material &m : materials)
    if (m.name == name) found = &m;  // the last one: the case file's own
  return found;
}

std::vector<std::string> MaterialsList::names() const {
  std::vector<std::string> result;
  for (const Material &m : materials) result.push_back(m.name);
  return result;
}

MaterialsList read_materials(const Node *built_in, const Node *own, double temperature, Problems &problems) {
  MaterialsList list;
  read_into(list, built_in, built_in, nullptr, temperature, problems);
  read_into(list, own, built_in, own, temperature, problems);
  return list;
}

std::vector<Material> read_materials_list(const std::string &materials_path) {
  const Node tree = load_tree(materials_path);
  Problems problems;
  MaterialsList list;
  for (const auto &[name, node] : tree.entries)
    if (name != "material")
      problems.add({materials_path, node.line, name}, value_text(node), "material",
                   "a list of materials holds only [material.NAME]");
  if (const Node *node = tree.find("material")) {
    const double temperature = std::stod(find_key({"case"}, "temperature_c")->standard);
    list = read_materials(node, nullptr, temperature, problems);
  }
  if (!problems.list.empty()) throw CaseError(problems.message());
  return list.materials;
}

}  // namespace stillbox
