// SPDX-License-Identifier: MIT
#include "mesh/case_place.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "mesh/length.h"

namespace stillbox {
namespace {

constexpr std::size_t most_candidates = 20000;

Node number_node(double mm, const Node &like) {
  Node node;
  node.kind = Node::Kind::number;
  node.file = like.file;
  node.line = like.line;
  node.number = std::round(mm * 1e9) / 1e9;
  return node;
}

// from, to, step of one or two components: the product, the last component fastest.
void read_row(const Reader &r, PlaceVary &vary) {
  for (const char *key : {"from", "to", "step"})
    if (!r.node->find(key))
      return r.refuse(key, "from, to and step, or values", "add it, or write values = [12, 18] in their place");
  const auto from = r.lengths("from", 1, 2), to = r.lengths("to", 1, 2), step = r.lengths("step", 1, 2);
  const std::size_t size = from.size();
  if (to.size() != size || step.size() != size) {
    r.refuse("from", "from, to and step with equally many lengths", "give one length each, or two for a bar");
    return;
  }
  std::vector<std::vector<double>> values(size);
  for (std::size_t c = 0; c < size; ++c) {
    if (to[c] < from[c] || !(step[c] > 0)) {
      r.refuse(to[c] < from[c] ? "to" : "step", "from <= to and a step above 0", "exchange the two or give a step");
      return;
    }
    const double count = std::floor((to[c] - from[c]) / step[c] + 1e-6) + 1;
    if (count > double(most_candidates)) {
      r.refuse("step", "up to " + std::to_string(most_candidates) + " values", "make the step larger");
      return;
    }
    for (int i = 0; i < int(count); ++i) values[c].push_back(std::round(1e7 * (from[c] + i * step[c])) / 1e4);
  }
  vary.is_row = true;
  const Node &like = *r.node->find("from");
  if (size == 1) {
    for (double v : values[0]) {
      vary.values.push_back(number_node(v, like));
      vary.rest.emplace_back();
      vary.along.push_back(v);
    }
    return;
  }
  for (double first : values[0])
    for (double second : values[1]) {
      Node pair;
      pair.kind = Node::Kind::list;
      pair.file = like.file;
      pair.line = like.line;
      pair.items = {number_node(first, like), number_node(second, like)};
      vary.values.push_back(pair);
      vary.rest.push_back(number_text(first));
      vary.along.push_back(second);
    }
}

PlaceVary read_vary(const Reader &r) {
  PlaceVary vary;
  r.refuse_unknown_keys();
  vary.item = r.text("name");
  vary.key = r.text("key");
  const Node *values = r.node->find("values");
  if (values) {
    if (r.node->find("from") || r.node->find("to") || r.node->find("step"))
      r.refuse("values", "values, or from, to and step", "remove one of the two");
    else if (values->kind != Node::Kind::list || values->items.empty())
      r.refuse("values", "a list of at least one value", "write values = [12, 18]");
    else
      vary.values = values->items;
  } else {
    read_row(r, vary);
  }
  return vary;
}

std::string key_words_of(const std::string &key) {
  const auto dot = key.rfind('.');
  return dot == std::string::npos ? key : key.substr(dot + 1);
}

void set_nested(Node &table, const std::string &key, const Node &value) {
  const auto dot = key.find('.');
  if (dot == std::string::npos) {
    table.set(key, value);
    return;
  }
  Node inner;
  inner.file = value.file;
  inner.line = value.line;
  if (const Node *old = table.find(key.substr(0, dot))) inner = *old;
  set_nested(inner, key.substr(dot + 1), value);
  table.set(key.substr(0, dot), inner);
}

// The value of a row with its length changed.
Node moved_value(const Node &value, double along) {
  Node node = value;
  if (node.kind == Node::Kind::list)
    node.items.back().number = along;
  else
    node.number = along;
  return node;
}

}  // namespace

PlaceRequest read_place_request(const Reader &root, const std::vector<std::string> &variants) {
  PlaceRequest request;
  request.variant = variants.empty() ? "base" : variants.front();
  const auto r = root.table("place", {"place"});
  if (!r) return request;
  r->refuse_unknown_keys();
  if (r->has("variant")) {
    request.variant = r->text("variant");
    if (std::find(variants.begin(), variants.end(), request.variant) == variants.end())
      r->refuse("variant", joined(variants), "there is no such variant: " + suggestion(request.variant, variants));
  }
  const std::string aim = r->text("aim");
  request.aim = aim == "shortest ring"      ? PlaceAim::shortest_ring
                : aim == "least clustering" ? PlaceAim::least_clustering
                                            : PlaceAim::highest_first_mode;
  if (r->has("band_hz")) {
    const auto band = r->numbers("band_hz", 2);
    request.band_low = band[0];
    request.band_high = band[1];
    if (!(band[0] < band[1])) r->refuse("band_hz", "[low, high] with low < high", "exchange the two");
  }
  if (r->has("most_mass_kg")) request.most_mass = r->number("most_mass_kg");
  if (r->has("least_volume_l")) request.least_volume = 1e-3 * r->number("least_volume_l");
  if (r->has("least_open_percent")) request.least_open = 1e-2 * r->number("least_open_percent");
  request.insert = r->text("insert");
  if (r->has("compare")) request.compare = r->texts("compare");
  for (const std::string &name : request.compare)
    if (std::find(variants.begin(), variants.end(), name) == variants.end())
      r->refuse_value("compare", "\"" + name + "\"", joined(variants),
                      "there is no such variant: " + suggestion(name, variants));
  std::size_t count = 1;
  for (const Reader &item : r->tables("vary", {"place vary"}, 6)) {
    request.vary.push_back(read_vary(item));
    count = std::min(count * std::max<std::size_t>(1, request.vary.back().values.size()), 10 * most_candidates);
  }
  if (!r->node->find("vary")) r->refuse("vary", "at least one [[place.vary]]", "say what is varied");
  if (count > most_candidates)
    r->refuse_value("vary", "more than " + std::to_string(most_candidates) + " candidates",
                    "up to " + std::to_string(most_candidates), "make a step larger or vary less");
  return request;
}

std::vector<PlaceLine> place_lines(const PlaceRequest &request) {
  int row = -1;
  for (std::size_t v = 0; v < request.vary.size() && row < 0; ++v)
    if (request.vary[v].is_row && request.vary[v].values.size() > 1) row = int(v);
  std::vector<PlaceLine> lines;
  std::map<std::vector<std::string>, std::size_t> line_of;
  std::vector<std::size_t> at(request.vary.size(), 0);
  for (bool more = true; more;) {
    std::vector<std::string> group;
    std::string label;
    for (std::size_t v = 0; v < request.vary.size(); ++v) {
      const PlaceVary &vary = request.vary[v];
      std::string word = int(v) == row ? vary.rest[at[v]] : value_text(vary.values[at[v]]);
      if (int(v) != row && vary.values[at[v]].kind == Node::Kind::list) word = toml_of(vary.values[at[v]]);
      group.push_back(word);
      if (!word.empty() && (int(v) == row || vary.values.size() > 1))
        label += (label.empty() ? "" : ", ") + key_words_of(vary.key) + " " + word;
    }
    const auto [found, is_new] = line_of.try_emplace(group, lines.size());
    if (is_new) {
      PlaceLine line;
      line.label = label;
      line.row = row;
      for (std::size_t v = 0; v < request.vary.size(); ++v) line.fixed.push_back(request.vary[v].values[at[v]]);
      lines.push_back(line);
    }
    lines[found->second].along.push_back(row < 0 ? 0 : request.vary[row].along[at[row]]);
    more = false;
    for (std::size_t v = request.vary.size(); v-- > 0;) {
      if (++at[v] < request.vary[v].values.size()) {
        more = true;
        break;
      }
      at[v] = 0;
    }
  }
  for (PlaceLine &line : lines) std::sort(line.along.begin(), line.along.end());
  return lines;
}

Node place_changes(const PlaceRequest &request, const PlaceLine &line, double along) {
  Node changes;
  for (std::size_t v = 0; v < request.vary.size(); ++v) {
    const Node value = int(v) == line.row ? moved_value(line.fixed[v], along) : line.fixed[v];
    changes.file = value.file;
    changes.line = value.line;
    Node item;
    item.file = value.file;
    item.line = value.line;
    if (const Node *old = changes.find(request.vary[v].item)) item = *old;
    set_nested(item, request.vary[v].key, value);
    changes.set(request.vary[v].item, item);
  }
  return changes;
}

std::string toml_word(const std::string &text) {
  static const char *digits = "0123456789ABCDEF";
  std::string out = "\"";
  for (const char c : text) {
    const auto code = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\')
      out += std::string("\\") + c;
    else if (code < 0x20 || code == 0x7f)
      out += std::string("\\u00") + digits[code / 16] + digits[code % 16];
    else
      out += c;
  }
  return out + "\"";
}

std::string toml_of(const Node &node) {
  std::string text;
  switch (node.kind) {
    case Node::Kind::text:
      return toml_word(node.text);
    case Node::Kind::boolean:
      return node.number != 0 ? "true" : "false";
    case Node::Kind::list:
      for (const Node &item : node.items) text += (text.empty() ? "" : ", ") + toml_of(item);
      return "[" + text + "]";
    case Node::Kind::table:
      for (const auto &[key, value] : node.entries)
        text += (text.empty() ? " " : ", ") + toml_word(key) + " = " + toml_of(value);
      return "{" + text + " }";
    default:
      return number_text(node.number);
  }
}

}  // namespace stillbox
