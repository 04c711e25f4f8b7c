// SPDX-License-Identifier: MIT
#include "postprocess/file_words.h"

#include <algorithm>
#include <cctype>

namespace stillbox {
namespace {

std::string file_word(const std::string &name) {
  std::string word;
  for (const unsigned char c : name) {
    if (c < 128 && std::isalnum(c)) {
      word += static_cast<char>(std::tolower(c));
    } else if (!word.empty() && word.back() != '-') {
      word += '-';
    }
  }
  while (!word.empty() && word.back() == '-') word.pop_back();
  return word.empty() ? "variant" : word;
}

}  // namespace

std::vector<std::string> file_words(const std::vector<std::string> &names) {
  std::vector<std::string> words;
  for (const std::string &name : names) {
    const std::string plain = file_word(name);
    std::string word = plain;
    for (int n = 2; std::find(words.begin(), words.end(), word) != words.end(); ++n)
      word = plain + "-" + std::to_string(n);
    words.push_back(word);
  }
  return words;
}

}  // namespace stillbox
