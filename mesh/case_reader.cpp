// SPDX-License-Identifier: MIT
#include "mesh/case_reader.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr int most_unknown_keys = 50;       // of one table that are reported
constexpr std::size_t longest_text = 2000;  // characters of a note; names are limited where they are read

const char *const how_to_write_a_length =
    "give a number of millimetres or a text such as \"18 mm\", \"1.8 cm\", "
    "\"0.3 m\", \"3/4 in\", \"1 1/2 in\"";

std::string missing_advice(const Key &key) { return "add this key: " + key.prose; }

bool in_range(double value, double low, double high) {
  // Each end has its own slack: a wide range such as 1e-12 .. 1e15 must not let 0 in.
  return value >= low - 1e-9 * std::abs(low) && value <= high + 1e-9 * std::abs(high);
}

}  // namespace

const Key &Reader::key(const std::string &name) const {
  const Key *k = find_key(groups, name);
  assert(k != nullptr);
  return *k;
}

Place Reader::place() const { return {node->file ? *node->file : "", node->line, path}; }

Place Reader::place(const std::string &name) const {
  const Node *value = node->find(name);
  const Node &at = value ? *value : *node;
  return {at.file ? *at.file : "", at.line, path.empty() ? name : path + "." + name};
}

std::string Reader::shown(const std::string &name) const {
  const Node *value = node->find(name);
  return value ? value_text(*value) : "missing";
}

void Reader::refuse(const std::string &name, const std::string &allowed, const std::string &advice) const {
  problems->add(place(name), shown(name), allowed, advice);
}

void Reader::refuse_value(const std::string &name, const std::string &value, const std::string &allowed,
                          const std::string &advice) const {
  problems->add(place(name), value, allowed, advice);
}

const Node *Reader::entry(const std::string &name) const {
  const Node *value = node->find(name);
  const Key &k = key(name);
  // Under its earlier name refuse_unknown_keys speaks of it: one mistake is one message.
  const auto is_earlier_name = [&](const auto &given) { return renamed_to(groups, given.first) == name; };
  if (!value && k.required && std::none_of(node->entries.begin(), node->entries.end(), is_earlier_name))
    problems->add(place(name), "missing", allowed_text(k), missing_advice(k));
  return value;
}

double Reader::ranged_number(const Node &value, const Key &k, const std::string &shown_key) const {
  const Place at{value.file ? *value.file : "", value.line, shown_key};
  if (!value.is_number()) {
    problems->add(at, value_text(value), allowed_text(k), "give a number, not " + kind_text(value));
    return k.low;
  }
  if (!std::isfinite(value.number) || !in_range(value.number, k.low, k.high)) {
    problems->add(at, value_text(value), allowed_text(k), "give a number in this range");
    return k.low;
  }
  return value.number;
}

double Reader::ranged_length(const Node &value, const Key &k, const std::string &shown_key) const {
  const Place at{value.file ? *value.file : "", value.line, shown_key};
  double millimetres = value.number;
  if (value.kind == Node::Kind::text) {
    const auto metres = parse_length(value.text);
    if (!metres) {
      problems->add(at, value_text(value), allowed_text(k), std::string("not a length: ") + how_to_write_a_length);
      return k.low * 1e-3;
    }
    millimetres = *metres * 1e3;
  } else if (!value.is_number()) {
    problems->add(at, value_text(value), allowed_text(k),
                  "a length is wanted, not " + kind_text(value) + ": " + how_to_write_a_length);
    return k.low * 1e-3;
  }
  if (!std::isfinite(millimetres) || !in_range(millimetres, k.low, k.high)) {
    problems->add(at, value_text(value), allowed_text(k), "give a length in this range");
    return k.low * 1e-3;
  }
  return millimetres * 1e-3;
}

double Reader::number(const std::string &name) const {
  const Key &k = key(name);
  if (const Node *value = entry(name)) return ranged_number(*value, k, place(name).key);
  return k.standard.empty() ? k.low : std::stod(k.standard);
}

double Reader::length(const std::string &name) const {
  const Key &k = key(name);
  if (const Node *value = entry(name)) return ranged_length(*value, k, place(name).key);
  return (k.standard.empty() ? k.low : std::stod(k.standard)) * 1e-3;
}

int Reader::integer(const std::string &name) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  if (!value) return k.standard.empty() ? 0 : std::stoi(k.standard);
  if (value->kind != Node::Kind::integer || !in_range(value->number, k.low, k.high)) {
    refuse(name, allowed_text(k), "give a whole number in this range");
    return int(k.low);
  }
  return int(value->number);
}

std::string Reader::text(const std::string &name) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  if (!value) return k.standard;
  if (value->kind != Node::Kind::text) {
    refuse(name, allowed_text(k), "give a text in quotes, not " + kind_text(*value));
    return k.standard;
  }
  const std::size_t most = name == "note" || name == "source" ? longest_text : 80;
  if (value->text.size() > most) {
    refuse(name, "up to " + std::to_string(most) + " characters", "shorten it");
    return k.standard;
  }
  const bool has_control = std::any_of(value->text.begin(), value->text.end(),
                                       [&](unsigned char c) { return c < 32 && (most == 80 || c != '\n'); });
  if (has_control || (value->text.find_first_not_of(" \t") == std::string::npos && name != "note")) {
    refuse(name, "a text of visible characters", "give a text that can be read on one line");
    return k.standard;
  }
  if (!k.choices.empty() && std::find(k.choices.begin(), k.choices.end(), value->text) == k.choices.end()) {
    const std::string near = suggestion(value->text, k.choices);
    refuse(name, joined(k.choices), near.empty() ? "use one of these words" : near);
    return k.standard.empty() ? k.choices.front() : k.standard;
  }
  return value->text;
}

std::vector<std::string> Reader::texts(const std::string &name) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  std::vector<std::string> result;
  if (!value) return result;
  if (value->kind != Node::Kind::list || value->items.size() > 200) {
    refuse(name, allowed_text(k), "give a list of up to 200 texts, such as [\"left\", \"right\"]");
    return result;
  }
  for (const Node &item : value->items) {
    const Place at{item.file ? *item.file : "", item.line, place(name).key};
    if (item.kind != Node::Kind::text) {
      problems->add(at, value_text(item), allowed_text(k), "give texts in quotes");
    } else if (!k.choices.empty() && std::find(k.choices.begin(), k.choices.end(), item.text) == k.choices.end()) {
      const std::string near = suggestion(item.text, k.choices);
      problems->add(at, value_text(item), joined(k.choices), near.empty() ? "use one of these words" : near);
    } else if (std::find(result.begin(), result.end(), item.text) != result.end()) {
      problems->add(at, value_text(item), "each one once", "remove the repetition");
    } else {
      result.push_back(item.text);
    }
  }
  return result;
}

std::vector<double> Reader::lengths(const std::string &name, std::size_t least, std::size_t most) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  std::vector<double> result;
  if (value && value->kind != Node::Kind::list && least == 1) {
    result.push_back(ranged_length(*value, k, place(name).key));
  } else if (value && (value->kind != Node::Kind::list || value->items.size() < least || value->items.size() > most)) {
    const std::string count =
        least == most ? std::to_string(least) : std::to_string(least) + " or " + std::to_string(most);
    refuse(name, count + " lengths, each " + range_text_of(k), "give a list such as [110, 190]");
  } else if (value) {
    for (const Node &item : value->items) result.push_back(ranged_length(item, k, place(name).key));
  }
  if (result.size() < least) result.resize(least, 0.0);
  return result;
}

std::vector<double> Reader::numbers(const std::string &name, std::size_t count) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  std::vector<double> result;
  if (value && value->is_number()) {
    result.assign(count, ranged_number(*value, k, place(name).key));
  } else if (value && (value->kind != Node::Kind::list || value->items.size() != count)) {
    refuse(name, std::to_string(count) + " numbers, each " + range_text_of(k), "give a list of them");
  } else if (value) {
    for (const Node &item : value->items) result.push_back(ranged_number(item, k, place(name).key));
  }
  result.resize(count, 0.0);
  return result;
}

std::vector<double> Reader::numbers(const std::string &name, std::size_t least, std::size_t most) const {
  const Key &k = key(name);
  const Node *value = entry(name);
  if (!value) return {};
  if (value->kind != Node::Kind::list || value->items.size() < least || value->items.size() > most) {
    refuse(name, std::to_string(least) + " .. " + std::to_string(most) + " numbers, each " + range_text_of(k),
           "give a list of them, such as [10, 100, 1000]");
    return {};
  }
  std::vector<double> result;
  for (const Node &item : value->items) {
    const std::size_t before = problems->found;
    result.push_back(ranged_number(item, k, place(name).key));
    if (problems->found > before) return {};  // a column in another unit is one mistake
  }
  return result;
}

std::optional<Reader> Reader::table(const std::string &name, const std::vector<std::string> &key_groups) const {
  const Node *value = entry(name);
  if (!value) return std::nullopt;
  const std::string shown_key = place(name).key;
  if (value->kind != Node::Kind::table) {
    refuse(name, "a table", "write it as [" + shown_key + "] or { ... }");
    return std::nullopt;
  }
  return Reader{problems, value, shown_key, key_groups};
}

std::vector<Reader> Reader::tables(const std::string &name, const std::vector<std::string> &key_groups,
                                   std::size_t most) const {
  std::vector<Reader> result;
  const Node *value = entry(name);
  if (!value) return result;
  const std::string shown_key = place(name).key;
  if (value->kind == Node::Kind::table) return {{problems, value, shown_key, key_groups}};
  if (value->kind != Node::Kind::list) {
    refuse(name, "a list of tables", "write each as [[" + shown_key + "]] or { ... }");
    return result;
  }
  if (value->items.size() > most) {
    refuse_value(name, std::to_string(value->items.size()) + " items", "up to " + std::to_string(most),
                 "use fewer of them");
    return result;
  }
  for (std::size_t i = 0; i < value->items.size(); ++i) {
    const Node &item = value->items[i];
    const std::string item_path = shown_key + "[" + std::to_string(i + 1) + "]";
    if (item.kind != Node::Kind::table)
      problems->add({item.file ? *item.file : "", item.line, item_path}, value_text(item), "a table",
                    "write each item as [[" + shown_key + "]] or { ... }");
    else
      result.push_back({problems, &item, item_path, key_groups});
  }
  return result;
}

void Reader::refuse_unknown_keys() const {
  std::vector<std::string> known;
  for (const std::string &group : groups)
    for (const Key &k : all_keys())
      if (k.group == group) known.push_back(k.name);
  int unknown = 0;
  for (const auto &[name, value] : node->entries) {
    if (std::find(known.begin(), known.end(), name) != known.end()) continue;
    if (++unknown > most_unknown_keys) return;  // a file of another kind: enough has been said
    const std::string near = suggestion(name, known), renamed = renamed_to(groups, name);
    const Key *now = find_key(groups, renamed);
    refuse(name, joined(known),
           now                ? "this key is now called \"" + renamed + "\": " + now->prose
           : !renamed.empty() ? "remove this key: " + renamed
           : near.empty()     ? "unknown key here: remove it or use one of these"
                              : "unknown key here: " + near);
  }
}

}  // namespace stillbox
