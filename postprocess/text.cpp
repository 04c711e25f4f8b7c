// SPDX-License-Identifier: MIT
#include "postprocess/text.h"

#include <algorithm>

namespace stillbox {
namespace {

bool continues(unsigned char byte) { return (byte & 0xC0) == 0x80; }

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

std::string counted(std::size_t count, const std::string &word) {
  return std::to_string(count) + " " + word + (count == 1 ? "" : "s");
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
