// SPDX-License-Identifier: MIT
#include <algorithm>

#include "mesh/case_file.h"
#include "mesh/keys.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

std::size_t edit_distance(const std::string &a, const std::string &b) {
  std::vector<std::vector<std::size_t>> d(a.size() + 1, std::vector<std::size_t>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = i;
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t same = a[i - 1] == b[j - 1] ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + same});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

std::string type_text(const Key &key) {
  switch (key.type) {
    case KeyType::text:
      return "text";
    case KeyType::number:
      return "number";
    case KeyType::integer:
      return "whole number";
    case KeyType::length:
      return "length";
    case KeyType::choice:
      return "word";
    case KeyType::texts:
      return "list of texts";
    case KeyType::lengths:
      return "list of lengths";
    case KeyType::numbers:
      return "list of numbers";
    case KeyType::size:
    case KeyType::table:
      return "table";
    case KeyType::tables:
      return "list";
  }
  return "";
}

}  // namespace

std::string range_text_of(const Key &key) {
  return number_text(key.low) + " .. " + number_text(key.high) + (key.unit.empty() ? "" : " " + key.unit);
}

const Key *find_key(const std::vector<std::string> &groups, const std::string &name) {
  for (const std::string &group : groups)
    for (const Key &key : all_keys())
      if (key.group == group && key.name == name) return &key;
  return nullptr;
}

std::string allowed_text(const Key &key) {
  switch (key.type) {
    case KeyType::number:
    case KeyType::integer:
    case KeyType::length:
    case KeyType::lengths:
    case KeyType::numbers:
      return range_text_of(key);
    case KeyType::choice:
    case KeyType::texts:
      return key.choices.empty() ? type_text(key) : joined(key.choices);
    default:
      return "a " + type_text(key);
  }
}

std::string joined(const std::vector<std::string> &words, std::size_t most) {
  std::string text;
  for (std::size_t i = 0; i < words.size() && i < most; ++i) text += (i ? ", " : "") + words[i];
  if (words.size() > most) text += ", ... (" + std::to_string(words.size()) + " in all)";
  return text;
}

std::string nearest_word(const std::string &word, const std::vector<std::string> &known) {
  if (word.size() > 100) return "";
  std::string best;
  std::size_t least = (std::max(word.size(), std::size_t(1)) + 2) / 3 + 1;
  for (const std::string &candidate : known) {
    const std::size_t distance = edit_distance(word, candidate);
    if (distance < least && distance < word.size()) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

std::string suggestion(const std::string &word, const std::vector<std::string> &known) {
  const std::string near = nearest_word(word, known);
  return near.empty() ? "" : "did you mean \"" + near + "\"?";
}

std::string key_reference_markdown() {
  std::string text =
      "# Keys of a case file\n\n"
      "A length is a number in millimetres or a text with its unit: `18`, `\"18 mm\"`, `\"1.8 cm\"`, `\"0.3 m\"`,\n"
      "`\"3/4 in\"`, `\"1 1/2 in\"`. Every other quantity names its unit in its key.\n";
  for (const KeyGroup &group : all_key_groups()) {
    text += "\n## " + group.heading + "\n\n" + group.prose + "\n\n| key | type | allowed | default | meaning |\n";
    text += "|---|---|---|---|---|\n";
    for (const Key &key : all_keys()) {
      if (key.group != group.name) continue;
      const bool has_range = key.low != key.high;
      const std::string allowed = !key.choices.empty() ? joined(key.choices) : has_range ? range_text_of(key) : "";
      const std::string standard = key.required ? "required" : key.standard;
      text +=
          "| `" + key.name + "` | " + type_text(key) + " | " + allowed + " | " + standard + " | " + key.prose + " |\n";
    }
  }
  return text;
}

}  // namespace stillbox
