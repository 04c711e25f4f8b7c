// SPDX-License-Identifier: MIT
#include "mesh/case_node.h"

#include <algorithm>
#include <array>
#include <tuple>

#include "mesh/clean_text.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr std::size_t most_problems_shown = 60, most_problems_kept = 1000;

// Keys that exclude each other: a change that gives one of a row drops the others of that row.
const std::array<std::vector<std::string>, 16> exclusive = {{{"layers", "thickness"},
                                                             {"layers", "material"},
                                                             {"outer_size", "inner_size"},
                                                             {"diameter", "size", "outline"},
                                                             {"covers_percent", "area", "areas"},
                                                             {"layers", "core"},
                                                             {"layers", "constraining"},
                                                             {"core", "material"},
                                                             {"core", "thickness"},
                                                             {"constraining", "material"},
                                                             {"constraining", "thickness"},
                                                             {"grain", "grain_angle_deg"},
                                                             {"youngs_modulus_gpa", "complex_modulus"},
                                                             {"loss_factor", "complex_modulus"},
                                                             {"shear_modulus_mpa", "youngs_modulus_mpa"},
                                                             {"density_kg_m3", "weighed"}}};

bool is_excluded(const std::string &key, const Node &changes) {
  for (const auto &row : exclusive) {
    if (std::find(row.begin(), row.end(), key) == row.end()) continue;
    for (const std::string &other : row)
      if (other != key && changes.find(other)) return true;
  }
  return false;
}

/// The first 57 bytes or so of a long text, whole characters of UTF-8.
std::string beginning(const std::string &text) {
  if (text.size() <= 60) return text;
  std::size_t end = 57;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0) == 0x80) --end;
  return text.substr(0, end) + "...";
}

}  // namespace

const Node *Node::find(const std::string &key) const {
  for (const auto &entry : entries)
    if (entry.first == key) return &entry.second;
  return nullptr;
}

Node *Node::find(const std::string &key) {
  for (auto &entry : entries)
    if (entry.first == key) return &entry.second;
  return nullptr;
}

void Node::set(const std::string &key, Node value) {
  if (Node *old = find(key))
    *old = std::move(value);
  else
    entries.emplace_back(key, std::move(value));
}

void Node::erase(const std::string &key) {
  entries.erase(std::remove_if(entries.begin(), entries.end(), [&](const auto &e) { return e.first == key; }),
                entries.end());
}

Node merged(const Node &base, const Node &changes) {
  if (base.kind != Node::Kind::table || changes.kind != Node::Kind::table) return changes;
  Node result = base;
  result.file = changes.file;
  result.line = changes.line;
  result.entries.clear();
  for (const auto &entry : base.entries)
    if (!is_excluded(entry.first, changes)) result.entries.push_back(entry);
  for (const auto &[key, value] : changes.entries) {
    const Node *old = result.find(key);
    result.set(key, old ? merged(*old, value) : value);
  }
  return result;
}

void Problems::add(const Place &place, const std::string &value, const std::string &allowed,
                   const std::string &advice) {
  ++found;
  for (const Problem &p : list)
    if (p.place.file == place.file && p.place.line == place.line && p.place.key == place.key && p.value == value &&
        p.advice == advice)
      return;
  if (list.size() < most_problems_kept) list.push_back({place, value, allowed, advice, variant});
}

std::string Problems::message() const {
  std::vector<Problem> sorted = list;
  std::stable_sort(sorted.begin(), sorted.end(), [](const Problem &a, const Problem &b) {
    return std::tie(a.place.file, a.place.line) < std::tie(b.place.file, b.place.line);
  });
  std::string text;
  for (std::size_t i = 0; i < sorted.size() && i < most_problems_shown; ++i) {
    const Problem &p = sorted[i];
    if (i > 0) text += "\n";
    std::string line = p.place.file + ":";
    if (p.place.line > 0) line += std::to_string(p.place.line) + ":";
    if (!p.variant.empty()) line += " in variant \"" + p.variant + "\":";
    if (!p.place.key.empty()) line += " key " + p.place.key + ":";
    if (!p.value.empty()) line += " value " + p.value + ";";
    if (!p.allowed.empty()) line += " allowed: " + p.allowed + ";";
    // Names and values come from the file and may hold anything; a message stays on its line.
    text += clean_text(line + " " + p.advice);
  }
  if (sorted.size() > most_problems_shown)
    text += "\nand " + std::to_string(sorted.size() - most_problems_shown) + " more problems";
  return text;
}

std::string value_text(const Node &node) {
  switch (node.kind) {
    case Node::Kind::text:
      return "\"" + beginning(node.text) + "\"";
    case Node::Kind::number:
    case Node::Kind::integer:
      return number_text(node.number);
    case Node::Kind::boolean:
      return node.number != 0 ? "true" : "false";
    case Node::Kind::date:
      return "a date or time";
    case Node::Kind::list: {
      if (node.items.size() > 4) return "a list of " + std::to_string(node.items.size());
      std::string text = "[";
      for (std::size_t i = 0; i < node.items.size(); ++i) {
        const bool is_deep = node.items[i].kind == Node::Kind::list || node.items[i].kind == Node::Kind::table;
        text += (i ? ", " : "") + (is_deep ? "..." : value_text(node.items[i]));
      }
      return text + "]";
    }
    case Node::Kind::table:
      return "a table";
  }
  return "";
}

std::string kind_text(const Node &node) {
  switch (node.kind) {
    case Node::Kind::text:
      return "a text";
    case Node::Kind::number:
      return "a number";
    case Node::Kind::integer:
      return "a whole number";
    case Node::Kind::boolean:
      return "true or false";
    case Node::Kind::date:
      return "a date or time";
    case Node::Kind::list:
      return "a list";
    case Node::Kind::table:
      return "a table";
  }
  return "";
}

}  // namespace stillbox
