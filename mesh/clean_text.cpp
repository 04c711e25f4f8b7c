// SPDX-License-Identifier: MIT
#include "mesh/clean_text.h"

#include <algorithm>

namespace stillbox {
namespace {

const char *const replacement = "\xEF\xBF\xBD";  // U+FFFD

bool continues(unsigned char byte) { return (byte & 0xC0) == 0x80; }

/// Length in bytes of the code point at `at`, 0 when the bytes are not UTF-8; its number goes to `code`.
std::size_t decode(const std::string &text, std::size_t at, unsigned &code) {
  const auto byte = static_cast<unsigned char>(text[at]);
  const std::size_t length = byte < 0x80   ? 1
                             : byte < 0xC2 ? 0
                             : byte < 0xE0 ? 2
                             : byte < 0xF0 ? 3
                             : byte < 0xF5 ? 4
                                           : 0;
  if (length == 0 || at + length > text.size()) return 0;
  code = length == 1 ? byte : byte & (0x7Fu >> length);
  for (std::size_t k = 1; k < length; ++k) {
    const auto next = static_cast<unsigned char>(text[at + k]);
    if (!continues(next)) return 0;
    code = (code << 6) | (next & 0x3Fu);
  }
  const bool overlong = (length == 3 && code < 0x800) || (length == 4 && code < 0x10000);
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  return overlong || surrogate || code > 0x10FFFF ? 0 : length;
}

/// Marks that make what follows read from the other side, so that a message could seem to say something else.
bool turns_text(unsigned code) { return (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069); }

}  // namespace

std::string clean_text(const std::string &text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    unsigned code = 0;
    const std::size_t length = decode(text, at, code);
    if (length == 0 || code == 0xFFFE || code == 0xFFFF) {
      out += replacement;
    } else if (code < 0x20 || (code >= 0x7F && code < 0xA0) || turns_text(code)) {
      out += ' ';
    } else {
      out.append(text, at, length);
    }
    at += std::max<std::size_t>(length, 1);
  }
  return out;
}

std::string clean_lines(const std::string &text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out += clean_text(text.substr(at, end - at));
    if (end < text.size()) out += '\n';
    at = end + 1;
  }
  return out;
}

}  // namespace stillbox
