// SPDX-License-Identifier: MIT
// The JSON Schema against the declarations, against all cases, and against mistakes. The validator here knows the
// vocabulary of JSON Schema draft 2020-12 (json-schema.org, Core and Validation) that the schema uses, and fails on
// any other word, so that nothing passes unread.
#include "postprocess/case_schema.h"

#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "mesh/case_node.h"
#include "mesh/keys.h"
#include "tests/mesh/case_text.h"

namespace stillbox {
namespace {

using Json = nlohmann::json;

Json json_of(const Node &node) {
  switch (node.kind) {
    case Node::Kind::table: {
      Json object = Json::object();
      for (const auto &[key, value] : node.entries) object[key] = json_of(value);
      return object;
    }
    case Node::Kind::list: {
      Json list = Json::array();
      for (const Node &item : node.items) list.push_back(json_of(item));
      return list;
    }
    case Node::Kind::text:
      return node.text;
    case Node::Kind::number:
      return node.number;
    case Node::Kind::integer:
      return long(node.number);
    case Node::Kind::boolean:
      return node.number != 0;
    case Node::Kind::date:
      break;
  }
  return nullptr;
}

struct SchemaCheck {
  Json root;
  using Keys = std::set<std::string>;

  const Json &resolved(std::string pointer) const {
    for (std::size_t at = pointer.find("%20"); at != std::string::npos; at = pointer.find("%20"))
      pointer.replace(at, 3, " ");
    return root.at(Json::json_pointer(pointer.substr(1)));
  }

  static bool is_type(const Json &value, const std::string &type) {
    if (type == "object") return value.is_object();
    if (type == "array") return value.is_array();
    if (type == "string") return value.is_string();
    if (type == "integer") return value.is_number_integer();
    if (type == "number") return value.is_number();
    throw std::logic_error("type " + type);
  }

  /// Whether `value` holds; `seen` gets the properties that were evaluated on the way.
  bool holds(const Json &schema, const Json &value, Keys &seen) const {
    if (schema.is_boolean()) return schema.get<bool>();
    static const Keys known = {"$schema",
                               "$ref",
                               "$defs",
                               "title",
                               "description",
                               "default",
                               "type",
                               "properties",
                               "additionalProperties",
                               "unevaluatedProperties",
                               "required",
                               "enum",
                               "const",
                               "minimum",
                               "maximum",
                               "pattern",
                               "items",
                               "minItems",
                               "maxItems",
                               "uniqueItems",
                               "allOf",
                               "anyOf",
                               "if",
                               "then",
                               "else"};
    for (const auto &[word, ignored] : schema.items())
      if (!known.count(word)) throw std::logic_error("word " + word);
    const auto has = [&](const char *word) { return schema.contains(word); };
    bool ok = true;
    if (has("$ref")) ok = holds(resolved(schema["$ref"]), value, seen) && ok;
    if (has("type")) ok = is_type(value, schema["type"]) && ok;
    if (has("enum")) ok = std::count(schema["enum"].begin(), schema["enum"].end(), value) > 0 && ok;
    if (has("const")) ok = value == schema["const"] && ok;
    if (has("minimum") && value.is_number()) ok = value >= schema["minimum"] && ok;
    if (has("maximum") && value.is_number()) ok = value <= schema["maximum"] && ok;
    if (has("pattern") && value.is_string())
      ok = std::regex_search(value.get<std::string>(), std::regex(schema["pattern"].get<std::string>())) && ok;
    if (value.is_array()) {
      if (has("minItems")) ok = value.size() >= schema["minItems"] && ok;
      if (has("maxItems")) ok = value.size() <= schema["maxItems"] && ok;
      if (has("uniqueItems")) ok = std::set<Json>(value.begin(), value.end()).size() == value.size() && ok;
      for (const Json &item : value) {
        Keys inner;
        if (has("items")) ok = holds(schema["items"], item, inner) && ok;
      }
    }
    if (value.is_object()) ok = object_holds(schema, value, seen) && ok;
    ok = branches_hold(schema, value, seen) && ok;
    if (has("unevaluatedProperties") && value.is_object())
      for (const auto &[key, item] : value.items()) ok = seen.count(key) > 0 && ok;
    return ok;
  }

  bool object_holds(const Json &schema, const Json &value, Keys &seen) const {
    bool ok = true;
    for (const Json &key : schema.value("required", Json::array())) ok = value.contains(key.get<std::string>()) && ok;
    const Json properties = schema.value("properties", Json::object());
    for (const auto &[key, item] : value.items()) {
      Keys inner;
      if (properties.contains(key)) {
        ok = holds(properties[key], item, inner) && ok;
        seen.insert(key);
      } else if (schema.contains("additionalProperties")) {
        ok = holds(schema["additionalProperties"], item, inner) && ok;
        seen.insert(key);
      }
    }
    return ok;
  }

  bool branches_hold(const Json &schema, const Json &value, Keys &seen) const {
    bool ok = true;
    for (const Json &part : schema.value("allOf", Json::array())) ok = holds(part, value, seen) && ok;
    if (schema.contains("anyOf")) {
      bool any = false;
      for (const Json &part : schema["anyOf"]) {
        Keys found;
        if (!holds(part, value, found)) continue;
        any = true;
        seen.insert(found.begin(), found.end());
      }
      ok = any && ok;
    }
    if (schema.contains("if")) {
      Keys found;
      const bool is_so = holds(schema["if"], value, found);
      if (is_so) seen.insert(found.begin(), found.end());
      const char *branch = is_so ? "then" : "else";
      if (schema.contains(branch)) ok = holds(schema[branch], value, seen) && ok;
    }
    return ok;
  }

  bool holds(const Json &value) const {
    Keys seen;
    return holds(root, value, seen);
  }
};

SchemaCheck schema() { return {Json::parse(case_schema_json())}; }

Json case_of(const std::string &text) { return json_of(parse_tree(text, "trial")); }

TEST(CaseSchema, KeysRangesAndWordsAreTheDeclaredOnes) {
  const Json defs = schema().root["$defs"];
  std::set<std::string> groups;
  for (const KeyGroup &group : all_key_groups()) {
    groups.insert(group.name);
    ASSERT_TRUE(defs.contains(group.name)) << group.name;
    std::set<std::string> declared, written;
    for (const Key &key : all_keys()) {
      if (key.group != group.name) continue;
      declared.insert(key.name);
      const std::string text = defs[group.name]["properties"].value(key.name, Json::object()).dump();
      const std::vector<double> limits =
          key.low != key.high ? std::vector<double>{key.low, key.high} : std::vector<double>{};
      for (const double limit : limits)
        EXPECT_NE(text.find(Json(limit).dump()), std::string::npos) << group.name << " " << key.name << " " << text;
      for (const std::string &word : key.choices)
        EXPECT_NE(text.find("\"" + word + "\""), std::string::npos) << group.name << " " << key.name;
    }
    for (const auto &[name, value] : defs[group.name]["properties"].items()) written.insert(name);
    EXPECT_EQ(declared, written) << group.name;
  }
  for (const Key &key : all_keys()) EXPECT_TRUE(groups.count(key.group)) << key.group << " is not described";
  EXPECT_EQ(defs.size(), groups.size());
}

TEST(CaseSchema, EveryTableLeadsToItsKeys) {
  // A table that is free in the schema gives no completion; only `replace`, whose keys are names, may be.
  const Json defs = schema().root["$defs"];
  for (const Key &key : all_keys()) {
    if (key.type != KeyType::table && key.type != KeyType::tables) continue;
    if (key.group == "variant" && key.name == "replace") continue;
    if (key.name == "outline" || key.name == "footprint") continue;   // lists of corners
    if (key.group == "place vary" && key.name == "values") continue;  // of whatever kind the varied key is
    EXPECT_NE(defs[key.group]["properties"][key.name].dump().find("$ref"), std::string::npos)
        << key.group << " " << key.name << ": name its group in postprocess/case_schema.cpp";
  }
}

TEST(CaseSchema, AllCasesHold) {
  const SchemaCheck check = schema();
  int cases = 0;
  for (const auto &entry : std::filesystem::directory_iterator(STILLBOX_SOURCE_DIR "/cases")) {
    if (entry.path().extension() != ".toml" || entry.path().filename() == "materials.toml") continue;
    EXPECT_TRUE(check.holds(json_of(load_tree(entry.path().string())))) << entry.path();
    ++cases;
  }
  EXPECT_GE(cases, 7);
  const Json materials = json_of(load_tree(built_in_materials));
  for (const auto &[name, material] : materials["material"].items()) {
    SchemaCheck::Keys seen;
    EXPECT_TRUE(check.holds(check.root["$defs"]["material"], material, seen)) << name;
  }
}

TEST(CaseSchema, MistakesDoNotHold) {
  const SchemaCheck check = schema();
  EXPECT_TRUE(check.holds(case_of(box)));
  const std::string brace = "[[brace]]\nname = \"b\"\nkind = \"shelf\"\nnormal = \"height\"\nat = 100\n";
  EXPECT_TRUE(check.holds(case_of(box + brace)));
  const std::vector<std::string> wrong = {
      box + "colour = \"red\"\n",
      box + "[mesh]\nfineness = 9\n",
      box + "[mesh]\ndegree = 2.5\n",
      box + "[cabinet.wall.roof]\nthickness = 9\n",
      box + "[cabinet.wall.top]\nthickness = \"9 furlongs\"\n",
      box + brace + "stand_off = 30\n",                             // a key of a rib
      box + "[[brace]]\nname = \"b\"\nkind = \"shelf\"\nat = 1\n",  // no normal
      box + "[[brace]]\nname = \"b\"\nkind = \"shelv\"\nnormal = \"height\"\nat = 100\n",
      box + "[material.x]\nkind = \"isotropic\"\nyoungs_modulus_along_gpa = 3\n",
      box + "[material.x]\nloss_factor = 0.1\n",  // neither kind nor based_on
      box + "[[foot]]\non = \"bottom\"\nat = [1, 2]\nstiffness_n_m = \"stiff\"\n",
      "name = \"t\"\n",
  };
  for (const std::string &text : wrong) EXPECT_FALSE(check.holds(case_of(text))) << text;
}

}  // namespace
}  // namespace stillbox
