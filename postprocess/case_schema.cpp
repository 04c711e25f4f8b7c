// SPDX-License-Identifier: MIT
#include "postprocess/case_schema.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>

#include "mesh/keys.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

/// The group of keys a table holds, where it does not have the table's own name; "" for one with free keys.
const std::map<std::pair<std::string, std::string>, std::string> table_groups = {
    {{"case", "board"}, "free board"},
    {{"cabinet", "outer_size"}, "size"},
    {{"cabinet", "inner_size"}, "size"},
    {{"sheet", "area"}, "patch"},
    {{"sheet", "areas"}, "patch"},
    {{"sheet", "core"}, "layer"},
    {{"sheet", "constraining"}, "layer"},
    {{"variant", "replace"}, ""},
    {{"shape", "board"}, "shape wall"},
    {{"solids", "named"}, "solid named"},
    {{"solids", "layer"}, "solid layer"},
    {{"mass", "area"}, "area"},
    {{"brace window", "openings"}, "openings"},
};

bool is_group(const std::string &name) {
  const auto &groups = all_key_groups();
  return std::any_of(groups.begin(), groups.end(), [&](const KeyGroup &g) { return g.name == name; });
}

std::string group_of(const Key &key) {
  const auto special = table_groups.find({key.group, key.name});
  if (special != table_groups.end()) return special->second;
  if (key.name == "layers") return "layer";
  if (is_group(key.group + " " + key.name)) return key.group + " " + key.name;
  return is_group(key.name) ? key.name : "";
}

Json reference_to(const std::string &group) {
  std::string pointer = "#/$defs/" + group;
  for (std::size_t at = pointer.find(' '); at != std::string::npos; at = pointer.find(' ', at))
    pointer.replace(at, 1, "%20");
  return {{"$ref", pointer}};
}

Json number_in_range(const Key &key) {
  Json json = {{"type", key.type == KeyType::integer ? "integer" : "number"}};
  if (key.low != key.high) {
    json["minimum"] = key.low;
    json["maximum"] = key.high;
  }
  return json;
}

/// A number of millimetres, or a text with a unit as mesh/length.h reads it.
Json length_in_range(const Key &key) {
  return {{"anyOf",
           {number_in_range(key),
            {{"type", "string"},
             {"pattern", "^[ \\t]*[-+]?[0-9.]+([ \\t]+[0-9]+)?(/[0-9]+)?[ \\t]*(mm|cm|m|in)[ \\t]*$"}}}}};
}

Json one_or_list(const Json &item) { return {{"anyOf", {item, {{"type", "array"}, {"items", item}}}}}; }

Json table_schema(const Key &key) {
  const std::string group = group_of(key);
  if (key.group == "case" && key.name == "material")
    return {{"type", "object"}, {"additionalProperties", reference_to("material")}};
  if (key.group == "cabinet" && key.name == "wall") {
    Json walls = Json::object();
    for (const std::string &wall : find_key({"cabinet"}, "run_through")->choices) walls[wall] = reference_to("board");
    return {{"type", "object"}, {"properties", walls}, {"additionalProperties", false}};
  }
  if (key.group == "shape" && key.name == "wall")
    return {{"type", "object"}, {"additionalProperties", reference_to("shape wall")}};
  if (key.group == "variant" && key.name == "add") {
    Json kinds = Json::object();
    for (const Key &k : all_keys())
      if (k.group == "case" && k.type == KeyType::tables && k.name != "variant")
        kinds[k.name] = one_or_list(reference_to(group_of(k)));
    return {{"type", "object"}, {"properties", kinds}, {"additionalProperties", false}};
  }
  if (key.group == "brace window" && key.name == "openings")
    return {{"anyOf", {reference_to("openings"), {{"type", "array"}, {"items", reference_to("opening")}}}}};
  return group.empty() ? Json{{"type", "object"}} : reference_to(group);
}

Json value_schema(const Key &key) {
  switch (key.type) {
    case KeyType::text: {
      // The axes of a free board may also be directions in numbers.
      const Json text = {{"type", "string"}};
      if (key.group == "free board" && (key.name == "u" || key.name == "v"))
        return {
            {"anyOf", {text, {{"type", "array"}, {"items", {{"type", "number"}}}, {"minItems", 3}, {"maxItems", 3}}}}};
      return text;
    }
    case KeyType::number:
    case KeyType::integer:
      return number_in_range(key);
    case KeyType::length:
      return length_in_range(key);
    case KeyType::choice:
      return {{"enum", key.choices}};
    case KeyType::texts: {
      Json items = key.choices.empty() ? Json{{"type", "string"}} : Json{{"enum", key.choices}};
      return {{"type", "array"}, {"items", items}, {"uniqueItems", true}};
    }
    case KeyType::lengths: {
      const Json list = {{"type", "array"}, {"items", length_in_range(key)}};
      if (key.group == "move" || key.group == "place vary" || key.group == "chamfer")
        return {{"anyOf", {length_in_range(key), list}}};  // a brace's `at` is one length
      return list;
    }
    case KeyType::numbers:
      return one_or_list(number_in_range(key));
    case KeyType::size:
    case KeyType::table:
      return table_schema(key);
    case KeyType::tables: {
      if (key.name == "outline" || key.name == "footprint")
        return {{"type", "array"}, {"items", {{"type", "array"}, {"items", length_in_range(key)}}}, {"minItems", 3}};
      if (key.group == "place vary" && key.name == "values") return {{"type", "array"}, {"minItems", 1}};
      const std::string group = group_of(key);
      return one_or_list(group.empty() ? Json{{"type", "object"}} : reference_to(group));
    }
  }
  return Json::object();
}

Json default_value(const Key &key) {
  const Json parsed = Json::parse(key.standard, nullptr, false);
  return parsed.is_discarded() || key.type == KeyType::text || key.type == KeyType::choice ? Json(key.standard)
                                                                                           : parsed;
}

/// The groups that add keys by the value of `kind`: "brace shelf" to "brace" and so on.
std::vector<std::string> kinds_of(const std::string &group) {
  std::vector<std::string> kinds;
  const Key *kind = find_key({group}, "kind");
  if (!kind) return kinds;
  for (const std::string &word : kind->choices)
    if (is_group(group + " " + word)) kinds.push_back(word);
  return kinds;
}

bool is_kind_of_another(const std::string &group) {
  const std::size_t blank = group.find(' ');
  if (blank == std::string::npos) return false;
  const std::vector<std::string> kinds = kinds_of(group.substr(0, blank));
  return std::find(kinds.begin(), kinds.end(), group.substr(blank + 1)) != kinds.end();
}

Json group_schema(const KeyGroup &group) {
  Json properties = Json::object(), required = Json::array();
  for (const Key &key : all_keys()) {
    if (key.group != group.name) continue;
    Json value = value_schema(key);
    std::string words = key.prose;
    if (!key.unit.empty()) words += " [" + key.unit + "]";
    value["description"] = words;
    if (!key.standard.empty()) value["default"] = default_value(key);
    properties[key.name] = value;
    // What a material must say depends on what it is based on.
    if (key.required && group.name.rfind("material", 0) != 0) required.push_back(key.name);
  }
  Json json = {{"title", group.heading}, {"description", group.prose}, {"type", "object"}, {"properties", properties}};
  if (!required.empty()) json["required"] = required;
  const std::vector<std::string> kinds = kinds_of(group.name);
  if (!kinds.empty()) {
    Json conditions = Json::array();
    for (const std::string &kind : kinds)
      conditions.push_back({{"if", {{"properties", {{"kind", {{"const", kind}}}}}, {"required", {"kind"}}}},
                            {"then", reference_to(group.name + " " + kind)}});
    if (group.name == "material") {
      // Without a kind of its own (based on another one) it may hold the keys of any.
      Json any = Json::array();
      for (const std::string &kind : kinds) any.push_back(reference_to(group.name + " " + kind));
      conditions.push_back(
          {{"if", {{"required", {"kind"}}}}, {"then", true}, {"else", {{"required", {"based_on"}}, {"anyOf", any}}}});
    }
    json["allOf"] = conditions;
    json["unevaluatedProperties"] = false;
  } else if (!is_kind_of_another(group.name)) {
    json["additionalProperties"] = false;
  }
  return json;
}

}  // namespace

std::string case_schema_json() {
  Json defs = Json::object();
  for (const KeyGroup &group : all_key_groups()) defs[group.name] = group_schema(group);
  const Json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                       {"title", "A case file of stillbox"},
                       {"description",
                        "Lengths are numbers of millimetres or texts with a unit: \"18 mm\", \"3/4 in\". Made from the "
                        "declarations of the keys; `stillbox check` is the judge."},
                       {"$ref", "#/$defs/case"},
                       {"$defs", defs}};
  return schema.dump(2) + "\n";
}

}  // namespace stillbox
