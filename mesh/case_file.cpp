// SPDX-License-Identifier: MIT
#include "mesh/case_file.h"

#include <algorithm>
#include <optional>

#include "mesh/case_build.h"
#include "mesh/case_place.h"
#include "mesh/case_solids.h"
#include "mesh/mesh_error.h"

namespace stillbox {
namespace {

constexpr std::size_t most_boards = 200;
constexpr std::size_t most_variants = 100;

/// Reads one tree, the base's or a variant's. Values come first; what depends on a value that could not be read is left
/// out, so that one mistake gives one message.
Structure build_structure(const Node &tree, const MaterialsList &materials, double minimum_web, Problems &problems) {
  Build b;
  b.root = {&problems, &tree, "", {"case"}};
  b.materials = &materials;
  b.minimum_web = minimum_web;
  if (is_of_solids(b)) {
    if (!b.values_ok) return b.structure;
    tree.find("shape") ? read_shape(b) : read_step_solids(b);
    read_drivers(b);
    read_masses(b);
    read_feet(b);
    read_ports(b);
    read_linings(b);
    measure(b);
    return b.structure;
  }
  if (!tree.find("cabinet") && !tree.find("board"))
    b.root.refuse("cabinet", "a [cabinet], a [shape], [solids] or at least one [[board]]",
                  "describe what is to be computed");
  read_cabinet(b);
  read_braces(b);
  read_free_boards(b);
  read_cut_outs(b);
  read_sheets(b);  // after all that a sheet can lie on or must stay clear of
  if (b.structure.boards.size() > most_boards) {
    b.root.refuse_value("board", std::to_string(b.structure.boards.size()) + " boards",
                        "up to " + std::to_string(most_boards), "use fewer boards");
    b.values_ok = false;
  }
  share_overlaps(b);
  if (b.values_ok) check_cut_outs(b);
  read_drivers(b);
  read_masses(b);
  read_feet(b);
  read_edge_supports(b);
  read_bonds(b);
  read_ports(b);
  read_linings(b);
  return b.structure;
}

MeshSettings read_mesh_settings(const Reader &root, double &minimum_web) {
  MeshSettings mesh;
  mesh.up_to = root.number("up_to_hz");
  minimum_web = std::stod(find_key({"mesh"}, "minimum_web")->standard) * 1e-3;
  const auto r = root.table("mesh", {"mesh"});
  if (!r) return mesh;
  r->refuse_unknown_keys();
  mesh.fineness = r->number("fineness");
  mesh.degree = r->integer("degree");
  minimum_web = r->length("minimum_web");
  return mesh;
}

struct Reading {
  const std::optional<Node> &built_in;
  double minimum_web = 0;
  double temperature = 0;
  Problems &problems;

  Structure structure(const Node &tree) const {
    const Node *built_in_materials = built_in ? built_in->find("material") : nullptr;
    const std::size_t before = problems.found;
    const MaterialsList materials = read_materials(built_in_materials, tree.find("material"), temperature, problems);
    // A material that cannot be read would be missed by every board: one message is enough.
    if (problems.found > before) return {};
    try {
      Structure result = build_structure(tree, materials, minimum_web, problems);
      result.temperature = temperature;
      return result;
    } catch (const MeshError &error) {  // where what follows asks the grid about boards that were refused already
      if (problems.found == before) {
        const Node *cabinet = tree.find("cabinet");
        const Node &at = cabinet ? *cabinet : tree;
        problems.add({at.file ? *at.file : "", at.line, cabinet ? "cabinet" : ""}, "these boards",
                     "boards that can be told apart", error.what());
      }
      return {};
    }
  }
};

struct NamedTree {
  std::string name;
  Node tree;
};

const NamedTree *find_tree(const std::vector<NamedTree> &trees, const std::string &name) {
  for (const NamedTree &t : trees)
    if (t.name == name) return &t;
  return nullptr;
}

void read_variants(const Reader &root, std::vector<NamedTree> trees, const Reading &reading, CaseFile &result) {
  for (const Reader &r : root.tables("variant", {"variant"}, most_variants)) {
    r.refuse_unknown_keys();
    if (r.has("note")) r.text("note");
    const std::string name = r.text("name");
    if (name.empty()) continue;
    if (find_tree(trees, name)) {
      r.refuse("name", "each name once", "the base or an earlier variant has this name; choose another one");
      continue;
    }
    const NamedTree *from = &trees.front();
    if (r.has("based_on")) {
      const std::string wanted = r.text("based_on");
      from = find_tree(trees, wanted);
      if (!from) {
        std::vector<std::string> known;
        for (const NamedTree &t : trees) known.push_back(t.name);
        r.refuse("based_on", joined(known), "there is no earlier variant of this name: " + suggestion(wanted, known));
        continue;
      }
    }
    Problems &problems = reading.problems;
    problems.variant = name;
    const std::size_t before = problems.found;
    Node tree = with_variant(from->tree, r);
    if (problems.found == before) {
      Structure structure = reading.structure(tree);
      structure.case_name = result.name;
      structure.variant_name = name;
      result.variants.push_back(std::move(structure));
    }
    problems.variant.clear();
    trees.push_back({name, std::move(tree)});
  }
}

CaseFile read_case_tree(const Node &tree, const std::string &path, const std::string &materials_path) {
  std::optional<Node> built_in;
  if (!materials_path.empty()) {
    read_materials_list(materials_path);  // refuses a broken list with its own place
    built_in = load_tree(materials_path);
  }
  Problems problems;
  const Reader root{&problems, &tree, "", {"case"}};
  CaseFile result;
  result.path = path;
  if (tree.entries.empty()) {
    problems.add({path, 1, ""}, "", "",
                 "the file is empty; it needs at least name, up_to_hz and a [cabinet] or [[board]]");
    throw CaseError(problems.message());
  }
  root.refuse_unknown_keys();
  result.name = root.text("name");
  if (root.has("note")) result.note = root.text("note");
  const std::string base_name = root.has("base_name") ? root.text("base_name") : "base";
  const std::size_t before = problems.found;
  double temperature = root.number("temperature_c");
  // Tables are not to complain about a temperature that nobody meant.
  if (problems.found > before) temperature = std::stod(find_key({"case"}, "temperature_c")->standard);
  Reading reading{built_in, 0, temperature, problems};
  result.mesh = read_mesh_settings(root, reading.minimum_web);

  Structure base = reading.structure(tree);
  base.case_name = result.name;
  base.variant_name = base_name;
  result.variants.push_back(std::move(base));
  Node base_tree = tree;
  base_tree.erase("variant");  // or each of a hundred variants would carry a copy of all of them
  read_variants(root, {{base_name, std::move(base_tree)}}, reading, result);
  std::vector<std::string> names{base_name};
  for (const Reader &r : root.tables("variant", {"variant"}, most_variants))
    if (const Node *name = r.node->find("name")) names.push_back(name->text);
  read_place_request(root, names);
  if (!problems.list.empty()) throw CaseError(problems.message());
  return result;
}

}  // namespace

CaseFile read_case(const std::string &path, const std::string &materials_path) {
  return read_case_tree(load_tree(path), path, materials_path);
}

CaseFile read_case_text(const std::string &text, const std::string &path, const std::string &materials_path) {
  return read_case_tree(parse_tree(text, path), path, materials_path);
}

CaseTrees load_case_trees(const std::string &path, const std::string &materials_path) {
  CaseTrees result;
  if (!materials_path.empty()) result.built_in = load_tree(materials_path);
  const Node tree = load_tree(path);
  Problems problems;
  const Reader root{&problems, &tree, "", {"case"}};
  result.name = root.text("name");
  result.temperature = root.number("temperature_c");
  read_mesh_settings(root, result.minimum_web);
  result.trees.emplace_back(root.has("base_name") ? root.text("base_name") : "base", tree);
  result.trees.front().second.erase("variant");
  for (const Reader &r : root.tables("variant", {"variant"}, most_variants)) {
    const std::string from = r.has("based_on") ? r.text("based_on") : result.trees.front().first;
    for (std::size_t i = 0; i < result.trees.size(); ++i)
      if (result.trees[i].first == from) {
        result.trees.emplace_back(r.text("name"), with_variant(Node(result.trees[i].second), r));
        break;
      }
  }
  if (!problems.list.empty()) throw CaseError(problems.message());
  return result;
}

Structure changed_structure(const CaseTrees &trees, const std::string &variant, const Node &changes,
                            Problems &problems) {
  for (const auto &[name, tree] : trees.trees) {
    if (name != variant) continue;
    Node change;
    change.file = changes.file;
    change.line = changes.line;
    change.set("replace", changes);
    const Reader r{&problems, &change, "place", {"variant"}};
    const std::size_t before = problems.found;
    const Node changed = with_variant(tree, r);
    if (problems.found > before) return {};
    const Reading reading{trees.built_in, trees.minimum_web, trees.temperature, problems};
    Structure s = reading.structure(changed);
    s.case_name = trees.name;
    s.variant_name = variant;
    return s;
  }
  return {};
}

}  // namespace stillbox
