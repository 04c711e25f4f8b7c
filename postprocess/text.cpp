// SPDX-License-Identifier: MIT
#include "postprocess/text.h"

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

/// Byte offset after the first `columns` code points.
std::size_t offset_of(const std::string &text, std::size_t columns) {
  std::size_t at = 0;
  for (; at < text.size() && columns > 0; --columns) {
    ++at;
    while (at < text.size() && continues(static_cast<unsigned char>(text[at]))) ++at;
  }
  return at;
}

}  // namespace

std::string clean_text(const std::string &text) {
  std::string out;
  out.reserve(text.size());
  for (std::size_t at = 0; at < text.size();) {
    unsigned code = 0;
    const std::size_t length = decode(text, at, code);
    if (length == 0 || code == 0xFFFE || code == 0xFFFF) {
      out += replacement;
    } else if (code < 0x20 || (code >= 0x7F && code < 0xA0)) {
      out += ' ';
    } else {
      out.append(text, at, length);
    }
    at += std::max<std::size_t>(length, 1);
  }
  return out;
}

std::size_t display_width(const std::string &text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return !continues(static_cast<unsigned char>(c)); }));
}

std::string pad_right(const std::string &text, std::size_t width) {
  const std::size_t have = display_width(text);
  return have >= width ? text : text + std::string(width - have, ' ');
}

std::string pad_left(const std::string &text, std::size_t width) {
  const std::size_t have = display_width(text);
  return have >= width ? text : std::string(width - have, ' ') + text;
}

std::string shorten(const std::string &text, std::size_t width) {
  if (display_width(text) <= width) return text;
  return width == 0 ? "" : text.substr(0, offset_of(text, width - 1)) + "~";
}

std::vector<std::string> wrap(const std::string &text, std::size_t width) {
  std::vector<std::string> lines;
  std::string line;
  const auto flush = [&] {
    if (!line.empty()) lines.push_back(line);
    line.clear();
  };
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    std::string word = text.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (!line.empty() && display_width(line) + 1 + display_width(word) > width) flush();
    while (display_width(word) > width) {
      const std::size_t cut = offset_of(word, width);
      lines.push_back(word.substr(0, cut));
      word.erase(0, cut);
    }
    line += (line.empty() ? "" : " ") + word;
  }
  flush();
  if (lines.empty()) lines.emplace_back();
  return lines;
}

std::string paragraph(const std::string &first, const std::string &text, std::size_t width) {
  const std::size_t indent = std::min(display_width(first), width - 1);
  std::string out;
  for (const std::string &line : wrap(text, width - indent)) {
    out += (out.empty() ? first : std::string(indent, ' ')) + line + "\n";
  }
  return out;
}

std::string escape_xml(const std::string &text) {
  std::string out;
  for (const char c : clean_text(text)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&apos;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

}  // namespace stillbox
