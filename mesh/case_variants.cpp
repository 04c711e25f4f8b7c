// SPDX-License-Identifier: MIT
#include <algorithm>

#include "mesh/case_build.h"

namespace stillbox {
namespace {

const std::vector<std::string> item_kinds = {"sheet", "brace",        "crossing", "cut_out", "driver", "mass",   "foot",
                                             "board", "edge_support", "bond",     "port",    "lining", "filling"};

/// The list of one kind of item as a list, also when the file gives one table.
void make_list(Node &tree, const std::string &kind) {
  Node *node = tree.find(kind);
  if (!node || node->kind != Node::Kind::table) return;
  Node list;
  list.kind = Node::Kind::list;
  list.file = node->file;
  list.line = node->line;
  list.items.push_back(*node);
  *node = list;
}

std::string name_of(const std::string &kind, const Node &item) {
  const Node *name = item.find("name");
  if (name && name->kind == Node::Kind::text) return name->text;
  const Node *cut_out = item.find("cut_out");
  const bool fits_cut_out = (kind == "driver" || kind == "port") && cut_out && cut_out->kind == Node::Kind::text;
  return fits_cut_out ? cut_out->text + " " + kind : "";
}

struct Found {
  Node *list = nullptr;
  std::size_t index = 0;
  std::string kind;
};

Found find_item(Node &tree, const std::string &name, std::vector<std::string> *known) {
  Found found;
  int feet = 0;
  for (const std::string &kind : item_kinds) {
    Node *list = tree.find(kind);
    if (!list || list->kind != Node::Kind::list) continue;
    for (std::size_t i = 0; i < list->items.size(); ++i) {
      if (list->items[i].kind != Node::Kind::table) continue;
      std::string own = name_of(kind, list->items[i]);
      if (kind == "foot") ++feet;
      if (kind == "foot" && own.empty()) own = "foot " + std::to_string(feet);
      if (own.empty()) continue;
      if (known) known->push_back(own);
      if (own == name && !found.list) found = {list, i, kind};
    }
  }
  return found;
}

void refuse_unknown(Problems &problems, const Place &place, const std::string &name, std::vector<std::string> known) {
  const std::string near = suggestion(name, known);
  problems.add(place, "\"" + name + "\"", known.empty() ? "nothing: no item has a name" : joined(known),
               near.empty() ? "there is nothing of this name" : "there is nothing of this name: " + near);
}

/// A crossing has no name: it goes with either of its boards. So does a bond.
void drop_pairs(Node &tree, const std::string &name) {
  const auto drop = [&](const std::string &kind, const std::vector<std::string> &keys) {
    Node *list = tree.find(kind);
    if (!list) return;
    const auto names_it = [&](const Node &item) {
      return std::any_of(keys.begin(), keys.end(), [&](const std::string &key) {
        const Node *value = item.find(key);
        return value && (value->text == name || std::any_of(value->items.begin(), value->items.end(),
                                                            [&](const Node &board) { return board.text == name; }));
      });
    };
    list->items.erase(std::remove_if(list->items.begin(), list->items.end(), names_it), list->items.end());
  };
  drop("crossing", {"between"});
  drop("bond", {"between", "of"});
}

void apply_remove(Node &tree, const Reader &variant) {
  if (!variant.has("remove")) return;
  for (const std::string &name : variant.texts("remove")) {
    std::vector<std::string> known;
    const Found found = find_item(tree, name, &known);
    if (found.list) {
      found.list->items.erase(found.list->items.begin() + long(found.index));
      drop_pairs(tree, name);
    } else {
      refuse_unknown(*variant.problems, variant.place("remove"), name, known);
    }
  }
}

void change_item(Node &tree, const Reader &variant, const std::string &name, const Node &changes, const Place &place) {
  std::vector<std::string> known;
  const Found found = find_item(tree, name, &known);
  if (!found.list) {
    known.insert(known.end(), wall_name.begin(), wall_name.end());
    known.insert(known.end(), {"cabinet", "shape", "material"});
    refuse_unknown(*variant.problems, place, name, known);
    return;
  }
  Node &item = found.list->items[found.index];
  // A bond of another kind has other springs: those of the old kind would be refused.
  if (found.kind == "bond" && changes.find("kind"))
    for (const char *key : {"spacing", "slip_modulus_n_mm", "withdrawal_stiffness_n_mm", "normal_stiffness_mn_m2",
                            "shear_stiffness_mn_m2", "loss_factor"})
      item.erase(key);
  item = merged(item, changes);
}

/// One of the six, or of those a [shape] names.
bool is_wall_of(const Node &cabinet, const std::string &name) {
  if (wall_index(name) >= 0 || (name == "tube" && cabinet.find("tube"))) return true;
  const Node *walls = cabinet.find("walls");
  return walls &&
         std::any_of(walls->items.begin(), walls->items.end(), [&](const Node &item) { return item.text == name; });
}

void apply_replace(Node &tree, const Reader &variant) {
  const auto replace = variant.table("replace", {});
  if (!replace) return;
  for (const auto &[name, changes] : replace->node->entries) {
    const Place place{*changes.file, changes.line, replace->path + "." + name};
    if (changes.kind != Node::Kind::table) {
      variant.problems->add(place, value_text(changes), "a table", "write the keys that change as { key = value }");
      continue;
    }
    Node *cabinet = tree.find(tree.find("shape") ? "shape" : "cabinet");
    if (name == "cabinet" || name == "shape" || name == "material") {
      const Node *old = tree.find(name);
      tree.set(name, old ? merged(*old, changes) : changes);
    } else if (cabinet && cabinet->kind == Node::Kind::table && is_wall_of(*cabinet, name)) {
      const Node *walls = cabinet->find("wall");
      Node wall_tables;
      wall_tables.file = changes.file;
      wall_tables.line = changes.line;
      if (walls) wall_tables = *walls;
      const Node *old = wall_tables.find(name);
      wall_tables.set(name, old ? merged(*old, changes) : changes);
      cabinet->set("wall", wall_tables);
    } else {
      change_item(tree, variant, name, changes, place);
    }
  }
}

/// A sheet has its centre in `area`, and so has a mass.
void put_centre_into_area(Node &tree, const std::string &name, Node &changes) {
  const Found found = find_item(tree, name, nullptr);
  const Node *centre = changes.find("centre");
  if (!centre || !found.list || (found.kind != "sheet" && found.kind != "mass")) return;
  Node area;
  area.file = centre->file;
  area.line = centre->line;
  area.set("centre", *centre);
  changes.erase("centre");
  changes.set("area", area);
}

void apply_move(Node &tree, const Reader &variant) {
  for (const Reader &r : variant.tables("move", {"move"}, 200)) {
    r.refuse_unknown_keys();
    const std::string name = r.text("name");
    if (name.empty()) continue;
    Node changes = *r.node;
    changes.erase("name");
    put_centre_into_area(tree, name, changes);
    if (changes.entries.empty())
      r.refuse("at", "at, centre, origin, from, to", "say where it goes");
    else
      change_item(tree, variant, name, changes, r.place("name"));
  }
}

void apply_add(Node &tree, const Reader &variant) {
  const auto add = variant.table("add", {});
  if (!add) return;
  for (const auto &[kind, items] : add->node->entries) {
    const Place place{*items.file, items.line, add->path + "." + kind};
    if (std::find(item_kinds.begin(), item_kinds.end(), kind) == item_kinds.end()) {
      const std::string near = suggestion(kind, item_kinds);
      variant.problems->add(place, "\"" + kind + "\"", joined(item_kinds),
                            near.empty() ? "nothing of this kind can be added" : near);
      continue;
    }
    Node added = *add->node;
    make_list(added, kind);
    const Node &list = *added.find(kind);
    if (list.kind != Node::Kind::list) {
      variant.problems->add(place, value_text(items), "a list of tables", "write " + kind + " = [{ ... }]");
      continue;
    }
    Node *old = tree.find(kind);
    if (old && old->kind == Node::Kind::list)
      old->items.insert(old->items.end(), list.items.begin(), list.items.end());
    else
      tree.set(kind, list);
  }
}

}  // namespace

Node with_variant(const Node &tree, const Reader &variant) {
  Node result = tree;
  for (const std::string &kind : item_kinds) make_list(result, kind);
  apply_remove(result, variant);
  apply_replace(result, variant);
  apply_move(result, variant);
  apply_add(result, variant);
  return result;
}

}  // namespace stillbox
