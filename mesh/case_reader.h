// SPDX-License-Identifier: MIT
#pragma once
#include <optional>
#include <string>
#include <vector>

#include "mesh/case_node.h"
#include "mesh/keys.h"

namespace stillbox {

/// One table of the case file with the groups of keys it may hold. Every read checks presence, type and range against
/// the declaration in mesh/keys*.cpp and reports what is wrong; it then returns a harmless value, because nothing is
/// built from a file with problems. Numbers come back in the unit of the declaration, lengths in metres.
struct Reader {
  Problems *problems = nullptr;
  const Node *node = nullptr;
  std::string path;  ///< as shown in messages: "cabinet.wall.left"
  std::vector<std::string> groups;

  /// True when the table holds the key and the key belongs here.
  bool has(const std::string &name) const { return node->find(name) && find_key(groups, name); }
  Place place() const;                         ///< of the table itself
  Place place(const std::string &name) const;  ///< of an entry, or of the table when it is absent
  std::string shown(const std::string &name) const;

  double number(const std::string &name) const;
  double length(const std::string &name) const;
  int integer(const std::string &name) const;
  std::string text(const std::string &name) const;  ///< also choices
  std::vector<std::string> texts(const std::string &name) const;
  std::vector<double> lengths(const std::string &name, std::size_t least, std::size_t most) const;
  std::vector<double> numbers(const std::string &name, std::size_t count) const;  ///< or one number, repeated
  /// A list of `least` .. `most` numbers; empty after a problem, which is that of the first wrong number.
  std::vector<double> numbers(const std::string &name, std::size_t least, std::size_t most) const;
  /// A table below this one; nothing when it is absent or of another kind (which is reported).
  std::optional<Reader> table(const std::string &name, const std::vector<std::string> &key_groups) const;
  /// The tables of a list; one table on its own counts as a list of one. More than `most` are refused.
  std::vector<Reader> tables(const std::string &name, const std::vector<std::string> &key_groups,
                             std::size_t most) const;

  void refuse_unknown_keys() const;
  /// Reports a problem with an entry; `value` is taken from the file unless given.
  void refuse(const std::string &name, const std::string &allowed, const std::string &advice) const;
  void refuse_value(const std::string &name, const std::string &value, const std::string &allowed,
                    const std::string &advice) const;

 private:
  const Key &key(const std::string &name) const;
  const Node *entry(const std::string &name) const;
  double ranged_number(const Node &value, const Key &k, const std::string &shown_key) const;
  double ranged_length(const Node &value, const Key &k, const std::string &shown_key) const;
};

}  // namespace stillbox
