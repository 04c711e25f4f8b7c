// SPDX-License-Identifier: MIT
#include "postprocess/html.h"

#include <fmt/format.h>

#include <algorithm>

#include "postprocess/text.h"

namespace stillbox {
namespace {

void replace_all(std::string &text, const std::string &what, const std::string &with) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
    text.replace(at, what.size(), with);
}

// Bytes of a URL in a quoted attribute (RFC 3986): all that is not plain there as %XX.
std::string percent_encoded(const std::string &bytes) {
  static const std::string plain = "-_.!~*()/,:;=?@+$ ";
  std::string out;
  out.reserve(bytes.size() + bytes.size() / 4);
  for (const char c : bytes) {
    const bool is_plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                          plain.find(c) != std::string::npos;
    if (is_plain)
      out += c;
    else
      out += fmt::format("%{:02X}", static_cast<unsigned char>(c));
  }
  return out;
}

std::string class_of(const std::string &style) { return style.empty() ? "" : " class=\"" + style + "\""; }

}  // namespace

std::string html_text(const std::string &text) { return escape_xml(text); }

std::string html_text_lines(const std::string &text) {
  std::string out;
  std::size_t from = 0;
  while (from < text.size()) {
    const std::size_t end = std::min(text.find('\n', from), text.size());
    out += html_text(text.substr(from, end - from)) + "\n";
    from = end + 1;
  }
  return out;
}

std::string html_paragraph(const std::string &text, const std::string &style) {
  return "<p" + class_of(style) + ">" + html_text(text) + "</p>\n";
}

std::string html_list(const std::vector<std::string> &lines) {
  if (lines.empty()) return "";
  std::string out = "<ul>\n";
  for (const std::string &line : lines) out += "<li>" + html_text(line) + "</li>\n";
  return out + "</ul>\n";
}

std::string html_table(const std::string &caption, const std::vector<HtmlColumn> &columns,
                       const std::vector<std::vector<std::string>> &rows, const std::string &style) {
  const auto align = [&](std::size_t c) {
    return c < columns.size() && columns[c].align == Align::left ? " class=\"left\"" : "";
  };
  std::string out = "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\"" + html_text(caption) +
                    "\"><table" + class_of(style) + ">\n<caption>" + html_text(caption) + "</caption>\n<thead><tr>";
  for (std::size_t c = 0; c < columns.size(); ++c)
    out += fmt::format("<th scope=\"col\"{}>", align(c)) + html_text(columns[c].heading) + "</th>";
  out += "</tr></thead>\n<tbody>\n";
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const auto &row = rows[r];
    const bool again = r > 0 && !row.empty() && !rows[r - 1].empty() && row[0] == rows[r - 1][0];
    out += again ? "<tr class=\"again\">" : "<tr>";
    for (std::size_t c = 0; c < row.size(); ++c)
      out += c == 0 ? fmt::format("<th scope=\"row\"{}>", align(c)) + row[c] + "</th>"
                    : fmt::format("<td{}>", align(c)) + row[c] + "</td>";
    out += "</tr>\n";
  }
  return out + "</tbody></table></div>\n";
}

std::string html_picture(const std::string &svg, const std::string &alt) {
  const std::size_t start = svg.find("<svg");  // without the XML declaration, which a URL does not need
  return "<img src=\"data:image/svg+xml," + percent_encoded(start == std::string::npos ? svg : svg.substr(start)) +
         "\" alt=\"" + html_text(alt) + "\">";
}

std::string html_figure(const std::string &picture, const std::string &caption, const std::string &style) {
  return "<figure" + class_of(style) + ">" + picture + "<figcaption>" + caption + "</figcaption></figure>\n";
}

std::string html_details(const std::string &heading, const std::string &content) {
  return "<details><summary>" + html_text(heading) + "</summary>\n" + content + "</details>\n";
}

std::string json_for_script(std::string json) {
  replace_all(json, "<", "\\u003c");
  return json;
}

std::string script_for_html(std::string script) {
  replace_all(script, "</script", "<\\/script");
  replace_all(script, "<!--", "<\\!--");
  return script;
}

}  // namespace stillbox
