// SPDX-License-Identifier: MIT
#include "postprocess/start_answers.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <stdexcept>

#include "mesh/case_file.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

using Cells = std::vector<std::string>;

std::invalid_argument refusal(const std::string &value, const std::string &allowed, const std::string &advice) {
  return std::invalid_argument(fmt::format("value {}; allowed: {}; {}", toml_string(value), allowed, advice));
}

bool is_plain_number(const std::string &text, double &number) {
  if (text.empty() || text.find_first_not_of("0123456789+-.eE") != std::string::npos) return false;
  char *end = nullptr;
  number = std::strtod(text.c_str(), &end);
  return *end == '\0';
}

/// A length within the declared range, as a TOML value.
std::string length_answer(const std::string &text, const std::string &group, const std::string &key_name) {
  const Key &key = *find_key({group}, key_name);
  double mm = 0;
  const bool is_number = is_plain_number(text, mm);
  const auto metres = is_number ? std::optional<double>(1e-3 * mm) : parse_length(text);
  if (!metres)
    throw refusal(text, range_text_of(key),
                  "give a number of millimetres (with a point, not a comma) or a unit: 8 1/4 in, 33 cm");
  if (!(1e3 * *metres >= key.low - 1e-9 && 1e3 * *metres <= key.high + 1e-9))
    throw refusal(text, range_text_of(key), "give a length in this range");
  return is_number ? number_text(mm) : toml_string(text);
}

std::string number_answer(const std::string &text, const std::string &group, const std::string &key_name) {
  const Key &key = *find_key({group}, key_name);
  double number = 0;
  if (!is_plain_number(text, number) || !(number >= key.low && number <= key.high))
    throw refusal(text, range_text_of(key), "give a number in this range");
  return number_text(number);
}

std::string word_answer(const std::string &text, const Cells &words) {
  if (std::find(words.begin(), words.end(), text) != words.end()) return text;
  const std::string near = suggestion(text, words);
  throw refusal(text, joined(words), near.empty() ? "use one of these words" : near);
}

std::string choice_answer(const std::string &text, const std::string &group, const std::string &key_name) {
  return word_answer(text, find_key({group}, key_name)->choices);
}

void check_count(const std::string &value, const Cells &cells, std::size_t least, std::size_t most,
                 const std::string &form) {
  if (cells.size() < least || cells.size() > most) throw refusal(value, form, "give these parts, with commas between");
}

const Cells &walls() { return find_key({"cabinet"}, "run_through")->choices; }
const Cells &directions() { return find_key({"brace shelf"}, "normal")->choices; }

StartAnswers::CutOutAnswer cut_out_answer(const std::string &value) {
  const Cells c = comma_cells(value);
  check_count(value, c, 6, 7,
              "NAME, WALL, round, ACROSS, UP, DIAMETER or NAME, WALL, rectangle, ACROSS, UP, WIDTH, HEIGHT");
  StartAnswers::CutOutAnswer a;
  a.name = c[0];
  a.wall = word_answer(c[1], walls());
  a.shape = choice_answer(c[2], "cut_out", "shape");
  if (a.shape == "round")
    check_count(value, c, 6, 6, "NAME, WALL, round, ACROSS, UP, DIAMETER");
  else
    check_count(value, c, 7, 7, "NAME, WALL, " + a.shape + ", ACROSS, UP, WIDTH, HEIGHT");
  a.across = length_answer(c[3], "cut_out", "centre");
  a.up = length_answer(c[4], "cut_out", "centre");
  a.size = length_answer(c[5], "cut_out", a.shape == "round" ? "diameter" : "size");
  if (c.size() > 6) a.second_size = length_answer(c[6], "cut_out", "size");
  return a;
}

std::string direction_pair(const std::string &direction) {
  if (direction == "width") return "[\"left\", \"right\"]";
  return direction == "depth" ? "[\"baffle\", \"back\"]" : "[\"bottom\", \"top\"]";
}

std::string brace_lines(const std::string &value) {
  const Cells c = comma_cells(value);
  check_count(value, c, 4, 8, "NAME, KIND and what the kind needs, such as: shelf, shelf, height, 165");
  const std::string kind = choice_answer(c[1], "brace", "kind"), group = "brace " + kind;
  std::string lines = fmt::format("name = {}\nkind = \"{}\"\n", toml_string(c[0]), kind);
  const auto entry = [&](const char *key, std::size_t cell) {
    if (cell < c.size()) lines += fmt::format("{} = {}\n", key, length_answer(c[cell], group, key));
  };
  if (kind == "shelf") {
    check_count(value, c, 4, 5, "NAME, shelf, DIRECTION, AT [, THICKNESS]");
    lines += "normal = \"" + word_answer(c[2], directions()) + "\"   # the direction it stands square to\n";
    entry("at", 3);
    entry("thickness", 4);
  } else if (kind == "window") {
    check_count(value, c, 5, 6, "NAME, window, DIRECTION, AT, RIM [, THICKNESS]");
    lines += "normal = \"" + word_answer(c[2], directions()) + "\"   # the direction it stands square to\n";
    entry("at", 3);
    lines += "openings = { rim = " + length_answer(c[4], "openings", "rim") + " }\n";
    entry("thickness", 5);
  } else if (kind == "rib") {
    check_count(value, c, 6, 7, "NAME, rib, WALL, DIRECTION, AT, STAND-OFF [, THICKNESS]");
    lines += fmt::format("on = \"{}\"\nalong = \"{}\"\n", word_answer(c[2], walls()), word_answer(c[3], directions()));
    entry("at", 4);
    entry("stand_off", 5);
    entry("thickness", 6);
  } else if (kind == "bar") {
    check_count(value, c, 7, 7, "NAME, bar, DIRECTION, AT, AT, SIZE, SIZE");
    lines += "between = " + direction_pair(word_answer(c[2], directions())) + "\n";
    lines += fmt::format("at = [{}, {}]\n", length_answer(c[3], group, "at"), length_answer(c[4], group, "at"));
    lines += fmt::format("section = [{}, {}]\n", length_answer(c[5], group, "section"),
                         length_answer(c[6], group, "section"));
  } else {
    check_count(value, c, 6, 6, "NAME, corner block, WALL, WALL, SIZE, SIZE");
    lines += fmt::format("edge = [\"{}\", \"{}\"]\n", word_answer(c[2], walls()), word_answer(c[3], walls()));
    lines += fmt::format("section = [{}, {}]\n", length_answer(c[4], group, "section"),
                         length_answer(c[5], group, "section"));
  }
  return lines;
}

}  // namespace

void set_answer(StartAnswers &answers, const std::string &option, const std::string &given) {
  const std::string value = without_blanks(given);
  const std::map<std::string, std::string *> sizes = {
      {"--width", &answers.width}, {"--depth", &answers.depth}, {"--height", &answers.height}};
  const auto size = sizes.find(option);
  if (size != sizes.end()) {
    *size->second = length_answer(value, "size", option.substr(2));
  } else if (option == "--thickness") {
    answers.thickness = length_answer(value, "board", "thickness");
  } else if (option == "--baffle-thickness") {
    answers.baffle_thickness = length_answer(value, "board", "thickness");
  } else if (option == "--name") {
    if (value.empty() || value.size() > 80) throw refusal(value, "up to 80 characters", "give a name");
    answers.name = value;
  } else if (option == "--material") {
    answers.material = value;
  } else if (option == "--up-to") {
    answers.up_to = number_answer(value, "case", "up_to_hz");
  } else if (option == "--weighed") {
    const Cells c = comma_cells(value);
    check_count(value, c, 4, 4, "LENGTH, WIDTH, THICKNESS, KG");
    answers.weighed = {length_answer(c[0], "weighed", "length"), length_answer(c[1], "weighed", "width"),
                       length_answer(c[2], "weighed", "thickness"), number_answer(c[3], "weighed", "mass_kg")};
  } else if (option == "--cut-out") {
    answers.cut_outs.push_back(cut_out_answer(value));
  } else if (option == "--driver") {
    const Cells c = comma_cells(value);
    check_count(value, c, 2, 3, "CUT-OUT, KG [, rigid basket]");
    answers.drivers.push_back({c[0], number_answer(c[1], "driver", "mass_kg"),
                               c.size() > 2 ? choice_answer(c[2], "driver", "mounting") : "mass only"});
  } else if (option == "--brace") {
    answers.braces.push_back(brace_lines(value));
  } else {
    throw std::logic_error("no such answer: " + option);
  }
}

std::string start_text(const StartAnswers &a) {
  std::string text =
      "# A case for stillbox. Numbers are millimetres; \"3/4 in\", \"1.8 cm\" say otherwise.\n"
      "# `stillbox check` prints the boards, the mass and the litres: compare with the scale.\n"
      "# `stillbox keys` explains every key.\n";
  text += "name = " + toml_string(a.name) + "\n";
  text += "base_name = \"as it stands\"\n";
  text += "up_to_hz = " + a.up_to + "   # modes are found up to here; twice as high costs several times the time\n\n";
  const std::string material = a.weighed.empty() ? a.material : "weighed board";
  text += "[cabinet]\n";
  text += fmt::format("outer_size = {{ width = {}, depth = {}, height = {} }}\n", a.width, a.depth, a.height);
  text +=
      "# thickness_tolerance: how far such boards differ (0.2 mm: common practice, no source); it widens each band\n";
  text += fmt::format("board = {{ material = {}, thickness = {}, thickness_tolerance = 0.2 }}\n", toml_string(material),
                      a.thickness);
  if (!a.baffle_thickness.empty()) text += "\n[cabinet.wall.baffle]\nthickness = " + a.baffle_thickness + "\n";
  if (!a.weighed.empty()) {
    text += "\n# Density from a weighed piece; the moduli are those of " + a.material +
            ", typical ones. A tapped strip tells them:\n# see `stillbox board`.\n";
    text += "[material.\"weighed board\"]\nbased_on = " + toml_string(a.material) + "\n";
    text += fmt::format("weighed = {{ length = {}, width = {}, thickness = {}, mass_kg = {} }}\n", a.weighed[0],
                        a.weighed[1], a.weighed[2], a.weighed[3]);
    text += "density_tolerance_percent = 2   # of one board; 2 % is common practice, no source\n";
  } else {
    text +=
        "\n# Density and moduli are typical ones. Weigh an off-cut and write, for this board's own density:\n"
        "# [material.\"weighed board\"]\n# based_on = " +
        toml_string(a.material) + "\n# weighed = { length = 300, width = 200, thickness = 18, mass_kg = 0.8 }\n";
  }
  if (!a.cut_outs.empty())
    text += "\n# centre: across and up from the lower left corner of the cabinet's outer face, seen from outside\n";
  for (const auto &c : a.cut_outs) {
    text += fmt::format("[[cut_out]]\nname = {}\non = \"{}\"\nshape = \"{}\"\ncentre = [{}, {}]\n", toml_string(c.name),
                        c.wall, c.shape, c.across, c.up);
    text += c.shape == "round" ? "diameter = " + c.size + "\n\n"
                               : fmt::format("size = [{}, {}]\n\n", c.size, c.second_size);
  }
  for (const auto &d : a.drivers)
    text += fmt::format("[[driver]]\ncut_out = {}\nmass_kg = {}   # magnet included\nmounting = \"{}\"\n\n",
                        toml_string(d.cut_out), d.mass, d.mounting);
  if (!a.braces.empty()) text += "# at: from the inner face of the bottom, the left wall or the baffle\n";
  for (const std::string &brace : a.braces) text += "[[brace]]\n" + brace + "\n";
  text +=
      "\n# What would change? Take this as a start, and write what differs:\n"
      "# [[variant]]\n# name = \"thicker board\"\n# replace = { cabinet = { board = { thickness = 22 } } }\n";
  return text;
}

std::string trial_reading(const StartAnswers &answers, const std::string &materials_path) {
  const std::string mark = "answers";
  try {
    read_case_text(start_text(answers), mark, materials_path);
    return "";
  } catch (const CaseError &error) {
    std::string first = error.what();
    first = first.substr(0, first.find('\n'));
    if (first.rfind(mark + ":", 0) != 0) throw;
    first.erase(0, mark.size() + 1);
    const std::size_t digits = first.find_first_not_of("0123456789");
    if (digits > 0 && digits != std::string::npos && first[digits] == ':') first.erase(0, digits + 1);
    return without_blanks(first);
  }
}

}  // namespace stillbox
