// SPDX-License-Identifier: MIT
#include <toml++/toml.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "mesh/case_file.h"
#include "mesh/case_node.h"

namespace stillbox {
namespace {

using FileName = std::shared_ptr<const std::string>;
constexpr std::uintmax_t largest_file = 1 << 20;  // bytes
constexpr int deepest_key = 32;                   // parts of one dotted key
constexpr std::size_t most_values = 10000;        // tables, lists and what is in them

Node converted(const toml::node &from, const FileName &file, int fallback_line) {
  Node node;
  node.file = file;
  node.line = from.source().begin.line > 0 ? int(from.source().begin.line) : fallback_line;
  if (const auto *table = from.as_table()) {
    node.kind = Node::Kind::table;
    for (const auto &[key, value] : *table) {
      const int key_line = int(key.source().begin.line);
      Node child = converted(value, file, key_line > 0 ? key_line : node.line);
      // A list or an inline table may start on a later line than its key; a heading's own line is the table's.
      if (!value.is_table() && !value.is_array() && key_line > 0) child.line = key_line;
      node.entries.emplace_back(std::string(key.str()), std::move(child));
    }
  } else if (const auto *list = from.as_array()) {
    node.kind = Node::Kind::list;
    for (const auto &item : *list) node.items.push_back(converted(item, file, node.line));
  } else if (const auto *text = from.as_string()) {
    node.kind = Node::Kind::text;
    node.text = text->get();
  } else if (const auto *whole = from.as_integer()) {
    node.kind = Node::Kind::integer;
    node.number = double(whole->get());
  } else if (const auto *real = from.as_floating_point()) {
    node.kind = Node::Kind::number;
    node.number = real->get();
  } else if (const auto *flag = from.as_boolean()) {
    node.kind = Node::Kind::boolean;
    node.number = flag->get() ? 1 : 0;
  } else {
    node.kind = Node::Kind::date;
  }
  return node;
}

CaseError failure(const std::string &path, int line, const std::string &text) {
  Problems problems;
  problems.add({path, line, ""}, "", "", text);
  return CaseError(problems.message());
}

// The parser limits nested lists and inline tables but not the parts of a dotted key, and each part nests once more.
void refuse_deep_keys(const std::string &text, const std::string &path) {
  int line = 1, dots = 0;
  std::string quote;  // the quotes that are open, "" outside of texts
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') {
      ++line;
      if (quote.size() < 3) quote.clear();
    }
    if (!quote.empty()) {
      if (c == '\\' && quote[0] == '"') {
        if (i + 1 < text.size() && text[i + 1] != '\n') ++i;
      } else if (text.compare(i, quote.size(), quote) == 0) {
        i += quote.size() - 1;
        quote.clear();
      }
    } else if (c == '"' || c == '\'') {
      quote = text.compare(i, 3, std::string(3, c)) == 0 ? std::string(3, c) : std::string(1, c);
      i += quote.size() - 1;
    } else if (c == '#') {
      while (i + 1 < text.size() && text[i + 1] != '\n') ++i;
    } else if (c == '.') {
      if (++dots >= deepest_key)
        throw failure(path, line, "a key has more than 32 parts; no key of a case file is as deep as that");
    } else if (c == '=' || c == ',' || c == '[' || c == ']' || c == '{' || c == '}' || c == '\n') {
      dots = 0;
    }
  }
}

void count_values(const Node &node, std::size_t &count) {
  if (++count > most_values)
    throw failure(*node.file, node.line, "more than 10000 values in the file; no case file is as large as that");
  for (const auto &[key, value] : node.entries) count_values(value, count);
  for (const Node &item : node.items) count_values(item, count);
}

}  // namespace

Node load_tree(const std::string &path) {
  namespace fs = std::filesystem;
  std::error_code error;
  const fs::file_status status = fs::status(path, error);
  if (status.type() == fs::file_type::not_found)
    throw failure(path, 0, "there is no such file; check the name and the folder");
  if (status.type() == fs::file_type::none) throw failure(path, 0, "cannot be read: " + error.message());
  if (status.type() == fs::file_type::directory)
    throw failure(path, 0, "is a folder; name the case file in it, such as " + path + "/my-cabinet.toml");
  if (!fs::is_regular_file(status)) throw failure(path, 0, "is not an ordinary file; name a TOML file");
  const std::uintmax_t size = fs::file_size(path, error);
  if (error) throw failure(path, 0, "cannot be read: " + error.message());
  if (size > largest_file)
    throw failure(path, 0, "has " + std::to_string(size) + " bytes; allowed: up to 1 MiB (1048576 bytes)");
  std::ifstream stream(path, std::ios::binary);
  std::ostringstream content;
  if (size > 0 && !(content << stream.rdbuf())) throw failure(path, 0, "cannot be read; check its permissions");
  return parse_tree(content.str(), path);
}

Node parse_tree(const std::string &text, const std::string &path) {
  refuse_deep_keys(text, path);
  try {
    const toml::table table = toml::parse(text, path);
    Node tree = converted(table, std::make_shared<const std::string>(path), 1);
    std::size_t count = 0;
    count_values(tree, count);
    return tree;
  } catch (const toml::parse_error &e) {
    throw failure(path, int(e.source().begin.line), "not valid TOML: " + std::string(e.description()));
  }
}

}  // namespace stillbox
