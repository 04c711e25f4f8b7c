// SPDX-License-Identifier: MIT
#pragma once
#include <memory>
#include <string>
#include <utility>
#include <vector>

namespace stillbox {

// The case file as a plain tree that can be copied and edited (for variants) and still knows the line of every value.

struct Node {
  enum class Kind { table, list, text, number, integer, boolean, date };
  Kind kind = Kind::table;
  std::shared_ptr<const std::string> file;
  int line = 1;
  std::string text;                                   ///< text: the value
  double number = 0;                                  ///< number and integer: the value; boolean: 0 or 1
  std::vector<std::pair<std::string, Node>> entries;  ///< table
  std::vector<Node> items;                            ///< list

  const Node *find(const std::string &key) const;
  Node *find(const std::string &key);
  void set(const std::string &key, Node value);
  void erase(const std::string &key);
  bool is_number() const { return kind == Kind::number || kind == Kind::integer; }
};

/// Where something was said: shown in front of a message about it.
struct Place {
  std::string file;
  int line = 0;
  std::string key;
};

struct Problem {
  Place place;
  std::string value, allowed, advice;
  std::string variant;  ///< empty for the base
};

/// The problems found so far; `variant` is the one being read.
struct Problems {
  std::vector<Problem> list;
  std::size_t found = 0;  ///< counts repetitions too: grows whenever something was wrong
  std::string variant;

  /// Keeps a problem once: a variant that inherits a problem of the base does not repeat it.
  void add(const Place &place, const std::string &value, const std::string &allowed, const std::string &advice);
  /// One line per problem in the order of the lines: file:line: key ...: value ...; allowed ...; advice.
  std::string message() const;
};

/// The value as it would be written: 18, "18 mm", [3 items], {4 keys}.
std::string value_text(const Node &node);

/// What kind of value it is, in words.
std::string kind_text(const Node &node);

/// Reads a TOML file. Errors: CaseError with one line when the file is missing, is not a regular file, is larger than
/// 1 MiB, is nested absurdly deep, holds more than 10 000 values or is not valid TOML.
Node load_tree(const std::string &path);

/// The same from the text of a file; `path` is shown in messages.
Node parse_tree(const std::string &text, const std::string &path);

/// `base` with the entries of `changes` laid over it, tables merged key by key. A key that excludes another one
/// (`layers` and `thickness`, `outer_size` and `inner_size`, `diameter` and `size`, a constant modulus and a table)
/// drops it.
Node merged(const Node &base, const Node &changes);

}  // namespace stillbox
