// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

namespace stillbox {

// Every key of a case file is declared once, in keys*.cpp; reading, checking, messages and the reference page use it.

enum class KeyType { text, number, integer, length, choice, texts, lengths, numbers, size, table, tables };

struct Key {
  std::string group;  ///< the table it belongs to, such as "cabinet" or "brace shelf"
  std::string name;
  KeyType type = KeyType::text;
  bool required = false;
  std::string standard;              ///< default as written in a file; "" for none
  double low = 0, high = 0;          ///< range of numbers (lengths: mm), each item's for lists
  std::string unit;                  ///< for the reference and for messages
  std::vector<std::string> choices;  ///< allowed words; for texts: of each item
  std::string prose;
};

struct KeyGroup {
  std::string name;     ///< as in Key::group
  std::string heading;  ///< how it is written in a case file
  std::string prose;
};

const std::vector<Key> &all_keys();
const std::vector<KeyGroup> &all_key_groups();

/// The declaration of a key in one of `groups`, or null.
const Key *find_key(const std::vector<std::string> &groups, const std::string &name);

/// The name that a key of one of `groups` has today when a file gives it an earlier one; of a key that is gone what to
/// do instead; "" for any other name. The earlier names are refused with a message that says so.
std::string renamed_to(const std::vector<std::string> &groups, const std::string &old_name);

/// What a key accepts, in words: "0.05 .. 200 mm", "butt, rebate, mitre".
std::string allowed_text(const Key &key);

/// "0.05 .. 200 mm".
std::string range_text_of(const Key &key);

/// The known word nearest to `word` by edit distance (insert, delete, replace, swap neighbours: 1 each), or "" when
/// none is near: the distance must be at most a third of the word's length, rounded up.
std::string nearest_word(const std::string &word, const std::vector<std::string> &known);

/// "did you mean \"...\"?" or, without a near word, "".
std::string suggestion(const std::string &word, const std::vector<std::string> &known);

/// "a, b, c", at most `most` of them.
std::string joined(const std::vector<std::string> &words, std::size_t most = 24);

}  // namespace stillbox
