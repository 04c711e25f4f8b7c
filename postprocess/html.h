// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/text_table.h"

namespace stillbox {

// Pieces of HTML. What is called html here is markup already; everything else is text and is escaped.

/// Text for element content and quoted attributes: cleaned, with the five characters of XML escaped.
std::string html_text(const std::string &text);

/// The same, line by line: line ends stay.
std::string html_text_lines(const std::string &text);

/// <p> of text, with an optional class.
std::string html_paragraph(const std::string &text, const std::string &style = "");

/// A list of texts.
std::string html_list(const std::vector<std::string> &lines);

struct HtmlColumn {
  std::string heading;  ///< text
  Align align = Align::right;
};

/// A table with a caption, scopes, and the first cell of each row as its heading; a row with the heading of the row
/// before has the class "again". Cells are html. It lies in a region
/// of its own that scrolls sideways, also by keyboard, where the page is too narrow.
std::string html_table(const std::string &caption, const std::vector<HtmlColumn> &columns,
                       const std::vector<std::vector<std::string>> &rows, const std::string &style = "");

/// An SVG as <img> with its bytes in the address: its ids, styles and text stay apart from the page's. `alt` says in
/// words what is seen.
std::string html_picture(const std::string &svg, const std::string &alt);

/// <figure> with a caption of html.
std::string html_figure(const std::string &picture, const std::string &caption, const std::string &style = "");

/// Something that opens and closes: heading text, content html.
std::string html_details(const std::string &heading, const std::string &content);

/// JSON as content of a <script type="application/json">: no "<" is left in it.
std::string json_for_script(std::string json);

/// A program's text as content of <script>: nothing in it ends the element.
std::string script_for_html(std::string script);

}  // namespace stillbox
