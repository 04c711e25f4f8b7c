// SPDX-License-Identifier: MIT
#include "tests/fuzz/mutation.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdlib>

namespace stillbox {
namespace {

std::size_t below(FuzzRandom &random, std::size_t count) { return count == 0 ? 0 : std::size_t(random() % count); }
bool chance(FuzzRandom &random, double part) { return double(random() >> 11) * 0x1p-53 < part; }
template <typename List>
const auto &any_of(FuzzRandom &random, const List &list) {
  return list[below(random, list.size())];
}

const std::vector<std::string> extreme_numbers = {
    "0",     "-0.0", "-1",  "1e308",   "-1e308", "1e400",      "1e-308",   "5e-324", "nan",   "-nan",
    "inf",   "-inf", "1e9", "1e-9",    "0x7fff", "2147483648", "-1e9",     "0.1.2",  "1_0",   "9223372036854775807",
    "1e999", "1,5",  "+",   "1979-05", "00001",  "1e+",        "99999999", "0b1",    "1/0 in"};
const std::array<std::string, 24> odd_pieces = {std::string("\0", 1),
                                                "\xff",
                                                "\xc0\xaf",
                                                "\xed\xa0\x80",
                                                "\xf4\x90\x80\x80",
                                                "\xef\xbb\xbf",
                                                "\x1b[31m",
                                                "\r",
                                                "\n",
                                                "\r\n",
                                                "\"",
                                                "\"\"\"",
                                                "'",
                                                "[",
                                                "]",
                                                "[[",
                                                "{",
                                                "}",
                                                ",",
                                                "=",
                                                ".",
                                                "#",
                                                "\\uD800",
                                                "\xe2\x80\xae"};

struct Span {
  std::size_t from = 0, size = 0;
};

/// Numbers, words, quoted texts and single signs; blanks are left between them.
std::vector<Span> tokens_of(const std::string &text) {
  std::vector<Span> tokens;
  const auto is_part = [](unsigned char c) { return std::isalnum(c) || c == '_' || c == '.' || c == '-' || c == '+'; };
  for (std::size_t i = 0; i < text.size();) {
    const auto c = static_cast<unsigned char>(text[i]);
    std::size_t end = i + 1;
    if (std::isspace(c)) {
      ++i;
      continue;
    }
    if (c == '"' || c == '\'') {
      while (end < text.size() && text[end] != char(c) && text[end] != '\n') ++end;
      end = std::min(end + 1, text.size());
    } else if (is_part(c)) {
      while (end < text.size() && is_part(static_cast<unsigned char>(text[end]))) ++end;
    }
    tokens.push_back({i, end - i});
    i = end;
  }
  return tokens;
}

std::vector<Span> pieces_of(const std::string &text, const std::string &start) {
  std::vector<Span> pieces;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = text.find('\n' + start, i);
    end = end == std::string::npos ? text.size() : end + 1;
    pieces.push_back({i, end - i});
    i = end;
  }
  return pieces;
}

bool is_number(const std::string &token) {
  char *end = nullptr;
  std::strtod(token.c_str(), &end);
  return end != token.c_str() && *end == 0;
}

std::string scaled(const std::string &number, FuzzRandom &random) {
  const double value = std::strtod(number.c_str(), nullptr);
  constexpr std::array<double, 12> factors = {0.5, 2, 0.9, 1.1, 0.99, 1.01, -1, 0.1, 10, 1.001, 0.999, 3};
  return fmt::format("{:.10g}",
                     chance(random, 0.15) ? value + double(below(random, 21)) - 10 : value * any_of(random, factors));
}

void change_token(std::string &text, const FuzzGrammar &grammar, FuzzRandom &random) {
  const std::vector<Span> tokens = tokens_of(text);
  if (tokens.empty()) return;
  const Span at = any_of(random, tokens);
  const std::string old = text.substr(at.from, at.size);
  std::string now;
  if (is_number(old) && chance(random, 0.7)) {
    now = chance(random, 0.75) ? scaled(old, random) : any_of(random, extreme_numbers);
  } else {
    switch (below(random, 8)) {
      case 0:
        break;  // removed
      case 1:
        now = old + " " + old;
        break;
      case 2:
        now = any_of(random, extreme_numbers);
        break;
      case 3:
        now = any_of(random, odd_pieces);
        break;
      case 4:
      case 5: {  // another token of the text, of the same kind where one is found soon
        for (int i = 0; i < 20; ++i) {
          const Span other = any_of(random, tokens);
          now = text.substr(other.from, other.size);
          if ((now[0] == '"') == (old[0] == '"') && now != old) break;
        }
        break;
      }
      default:
        now = grammar.words.empty() ? old : any_of(random, grammar.words);
        if (old.size() > 1 && old[0] == '"' && now[0] != '"') now = '"' + now + '"';
    }
  }
  text.replace(at.from, at.size, now);
}

void change_piece(std::string &text, const std::string &other, const std::string &start, FuzzRandom &random) {
  const std::vector<Span> pieces = pieces_of(text, start);
  if (pieces.empty()) return;
  const Span at = any_of(random, pieces);
  const std::string old = text.substr(at.from, at.size);
  switch (below(random, 5)) {
    case 0:
      text.erase(at.from, at.size);
      break;
    case 1:
      text.insert(any_of(random, pieces).from, old);
      break;
    case 2: {
      text.erase(at.from, at.size);
      text.insert(std::min(any_of(random, pieces).from, text.size()), old);
      break;
    }
    case 3: {
      const std::vector<Span> others = pieces_of(other, start);
      if (others.empty()) break;
      const Span from = any_of(random, others);
      text.insert(at.from, other.substr(from.from, from.size));
      break;
    }
    default: {
      const std::size_t times = 2 + below(random, chance(random, 0.1) ? 2000 : 30);
      std::string many;
      for (std::size_t i = 0; i < times && many.size() < 200000; ++i) many += old;
      text.insert(at.from, many);
    }
  }
}

void change_bytes(std::string &text, const std::string &other, std::size_t reach, FuzzRandom &random) {
  if (text.empty()) text = "x";
  const std::size_t size = std::min(text.size(), reach), at = below(random, size);
  switch (below(random, 9)) {
    case 0:
      text[at] = char(text[at] ^ (1 << below(random, 8)));
      break;
    case 1:
      text[at] = char(random());
      break;
    case 2:
      text.insert(at, any_of(random, odd_pieces));
      break;
    case 3:
      text.erase(at, 1 + below(random, chance(random, 0.2) ? text.size() : 8));
      break;
    case 4:
      text.insert(below(random, text.size()), text.substr(at, 1 + below(random, 200)));
      break;
    case 5: {  // a whole number of two or four bytes, as headers have them
      constexpr std::array<std::uint32_t, 10> values = {0,      1,      0x7f,       0xff,       0x7fff,
                                                        0xffff, 0x8000, 0x7fffffff, 0xffffffff, 0x80000000};
      const std::uint32_t value = any_of(random, values);
      for (std::size_t i = 0; i < (chance(random, 0.5) ? 4u : 2u) && at + i < text.size(); ++i)
        text[at + i] = char(value >> (8 * i));
      break;
    }
    case 6:
      if (chance(random, 0.3)) text.resize(below(random, text.size() + 1));
      break;
    case 7:
      if (!other.empty()) {
        const std::size_t from = below(random, other.size());
        text.insert(at, other.substr(from, 1 + below(random, 400)));
      }
      break;
    default:
      text.insert(at, std::string(1 + below(random, 2000), text[at]));
  }
}

}  // namespace

std::string mutated(const std::vector<std::string> &seeds, const FuzzGrammar &grammar, FuzzRandom &random,
                    std::size_t most) {
  std::string text = any_of(random, seeds);
  const std::string &other = any_of(random, seeds);
  const std::size_t changes = 1 + below(random, chance(random, 0.5) ? 2 : 8);
  const bool rough = !grammar.is_text || chance(random, grammar.rough);
  for (std::size_t i = 0; i < changes; ++i) {
    if (rough && (!grammar.is_text || chance(random, 0.5)))
      change_bytes(text, other, grammar.is_text || chance(random, 0.2) ? text.size() : 200, random);
    else if (!grammar.section.empty() && chance(random, 0.15))
      change_piece(text, other, grammar.section, random);
    else if (chance(random, 0.15))
      change_piece(text, other, "", random);
    else
      change_token(text, grammar, random);
  }
  if (text.size() > most) text.resize(most);
  return text;
}

FuzzRandom random_of(std::uint64_t seed, const std::string &reader, std::uint64_t number) {
  std::uint64_t name = 14695981039346656037u;  // FNV-1a, so that readers have inputs of their own
  for (const unsigned char c : reader) name = (name ^ c) * 1099511628211u;
  std::seed_seq words{std::uint32_t(seed),       std::uint32_t(seed >> 32), std::uint32_t(name),
                      std::uint32_t(name >> 32), std::uint32_t(number),     std::uint32_t(number >> 32)};
  return FuzzRandom(words);
}

}  // namespace stillbox
