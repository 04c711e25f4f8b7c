// SPDX-License-Identifier: MIT
#include "postprocess/cut_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "mesh/length.h"
#include "postprocess/modes_json.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

using Json = nlohmann::ordered_json;

/// Heavier than this should not be lifted alone: common practice, no source.
constexpr double heavy = 25;  // kg

double tenths(double metres) { return std::round(1e4 * metres) / 10; }
std::string mm_text(double metres) { return fmt::format("{}", tenths(metres)); }

std::string grain_text(const CutPart &part) {
  if (!part.has_grain) return "any";
  return part.grain_angle == 0 ? "lengthwise" : fmt::format("{:.4g} deg to length", part.grain_angle * 180 / M_PI);
}

std::string part_name(const CutPart &part) {
  return part.layers == 1 ? part.board : fmt::format("{}, layer {} of {}", part.board, part.layer + 1, part.layers);
}

// Of solids the tilted edges; `all`: the square ones too.
std::string joints_text(const Structure &s, int board, const CutWork &work, bool all = false) {
  std::string text;
  const auto add = [&](const std::string &words) { text += (text.empty() ? "" : "; ") + words; };
  if (work.solid) {
    if (work.solid->bent) add(bent_words(*work.solid->bent));
    std::vector<std::pair<std::string, int>> words;
    for (const EdgeCut &edge : work.solid->edges) {
      if (!all && edge.angle <= 0) continue;
      const std::string own = edge_words(s, board, edge);
      const auto seen = std::find_if(words.begin(), words.end(), [&](const auto &w) { return w.first == own; });
      if (seen == words.end())
        words.emplace_back(own, 1);
      else
        ++seen->second;
    }
    for (const auto &[own, times] : words) add(times > 1 ? fmt::format("{} x {}", times, own) : own);
    if (!work.solid->openings.empty()) add("an opening, see its drawing");
  }
  for (const JointCut &cut : work.cuts) add(cut_words(cut));
  for (const MitreCut &mitre : work.mitres) add(mitre_words(mitre));
  return text;
}

std::string shape_word(const CutOut &c) {
  if (c.is_circle()) return "round";
  return c.shape == CutOutShape::slot ? "slot" : "rectangle";
}

/// "woofer round 145; cup rectangle 60 x 80".
std::string holes_text(const Board &board) {
  std::string text;
  for (const CutOut &c : board.cut_outs)
    text += (text.empty() ? "" : "; ") +
            (c.is_circle() ? fmt::format("{} round {}", c.name, mm_text(c.width))
                           : fmt::format("{} {} {} x {}", c.name, shape_word(c), mm_text(c.width), mm_text(c.height)));
  return text;
}

std::vector<std::string> cautions(const CutList &list) {
  std::vector<std::string> texts = {
      "Dust of fibre board, particle board, plywood and hardwood harms the lungs; that of MDF is the finest and holds "
      "resin with formaldehyde: extraction at the saw and router, a fitting dust mask, eye and ear protection.",
      "Keep to the saw's and router's own rules; clamp small parts. Glue, contact cement and bitumen in a well-aired "
      "room, away from flames, with gloves as the maker says."};
  double heaviest = 0;
  for (const CutPart &part : list.parts) heaviest = std::max(heaviest, part.mass);
  if (list.mass + list.fittings > heavy || heaviest > heavy)
    texts.push_back(
        fmt::format("Over {:.0f} kg: lift it with two people; secure a tall cabinet against tipping.", heavy));
  texts.push_back("Local codes and licensed practice come first.");
  return texts;
}

bool fits(const CutStock &stock, const StockSize &size) {
  return stock.longest <= size.length && stock.widest <= size.width;
}

}  // namespace

std::string cut_text(const std::string &case_name, const Structure &variant, const CutList &list,
                     const StockSize &size) {
  std::vector<std::vector<std::string>> rows;
  std::vector<int> counts;
  for (const CutPart &part : list.parts) {
    const std::string joints = joints_text(variant, part.index, list.work[part.index]);
    const std::string holes = holes_text(variant.boards[part.index]);
    const std::string work = holes + (holes.empty() || joints.empty() ? "" : "; ") + joints;
    std::vector<std::string> row = {"",
                                    clean_text(part_name(part)),
                                    mm_text(part.length),
                                    mm_text(part.width),
                                    mm_text(part.thickness),
                                    fmt::format("{:.2f}", part.mass),
                                    clean_text(part.material),
                                    grain_text(part),
                                    work.empty() ? "-" : clean_text(work)};
    bool is_alike = false;
    for (std::size_t r = 0; r < rows.size() && !is_alike && holes.empty(); ++r) {
      is_alike = std::equal(row.begin() + 2, row.end(), rows[r].begin() + 2);
      if (!is_alike) continue;
      rows[r][1] += ", " + row[1];
      ++counts[r];
    }
    if (is_alike) continue;
    rows.push_back(row);
    counts.push_back(1);
  }
  for (std::size_t r = 0; r < rows.size(); ++r) rows[r][0] = std::to_string(counts[r]);
  const std::vector<Column> columns{{"qty"},
                                    {"part", Align::left, 26},
                                    {"length\nmm"},
                                    {"width\nmm"},
                                    {"thick\nmm"},
                                    {"kg\neach"},
                                    {"material", Align::left, 20},
                                    {"grain", Align::left, 10},
                                    {"cut-outs and joints", Align::left}};
  std::string out = fmt::format("{}: {}\n", clean_text(case_name), clean_text(list.variant));
  out += text_table(columns, rows, table_width) + "\n";
  const std::vector<Column> stock_columns{
      {"stock", Align::left, 30}, {"thick\nmm"}, {"parts"}, {"area\nm2"}, {"stock\nboards"}, {"kg"},
      {"fits", Align::left}};
  std::vector<std::vector<std::string>> stock_rows;
  for (const CutStock &k : list.stock)
    stock_rows.push_back({clean_text(k.material), mm_text(k.thickness), std::to_string(k.parts),
                          fmt::format("{:.3f}", k.area), fmt::format("{:.2f}", k.area / size.area()),
                          fmt::format("{:.2f}", k.mass), fits(k, size) ? "yes" : "no: a part is larger"});
  out += text_table(stock_columns, stock_rows, table_width) + "\n";
  out += paragraph(
      "",
      fmt::format("Stock boards, as sold, of {} x {} mm. Areas are those of the parts alone: the saw's cut (some 3 mm "
                  "each), trimming and what is left over come on top, 10-30 % is common practice, no "
                  "source. Sizes are finished sizes, with rebates reached into and mitres to the long "
                  "point; the length lies along the grain. Measure your boards first: joints follow their "
                  "true thickness. Where cut-outs and braces lie: the .dxf files of --out.",
                  mm_text(size.length), mm_text(size.width)),
      table_width);
  if (variant.solids)
    out +=
        paragraph("",
                  "Bevels: what the saw is tilted by from square, and the face at which the board is longer; edges "
                  "not named are square, the .json lists every edge. Above 45 deg the board stands on edge against a "
                  "tall fence, or the cut is planed. Tilted cuts: a scrap first, the board clamped or firmly against "
                  "the fence, hands away from the blade. Bent boards: kerfed, the face that is not cut keeps its "
                  "length; laminated, each layer has the length of its place between the two faces; both spring, so "
                  "try a strip first.",
                  table_width);
  out += "\n";
  for (const std::string &text : cautions(list)) out += paragraph("Caution: ", text, table_width);
  return out;
}

std::string cut_csv(const std::vector<const Structure *> &variants, const std::vector<CutList> &lists) {
  std::string out = csv_line({"variant", "part", "use", "layer", "material", "length_mm", "width_mm", "thickness_mm",
                              "grain", "mass_kg", "area_m2", "cut_outs", "joints"});
  for (std::size_t v = 0; v < lists.size(); ++v)
    for (const CutPart &p : lists[v].parts)
      out += csv_line({lists[v].variant, p.board, p.use, std::to_string(p.layer + 1), p.material, mm_text(p.length),
                       mm_text(p.width), mm_text(p.thickness), grain_text(p), fmt::format("{:.4f}", p.mass),
                       fmt::format("{:.6f}", p.area), holes_text(variants[v]->boards[p.index]),
                       joints_text(*variants[v], p.index, lists[v].work[p.index], true)});
  return out;
}

std::string cut_json(const std::string &case_name, const std::vector<const Structure *> &variants,
                     const std::vector<CutList> &lists, const StockSize &size) {
  Json variants_json = Json::array();
  Json caution_list = Json::array();
  for (std::size_t v = 0; v < lists.size(); ++v) {
    const CutList &list = lists[v];
    Json parts = Json::array(), stock = Json::array();
    for (const CutPart &p : list.parts) {
      const Board &board = variants[v]->boards[p.index];
      const auto &wood = list.work[p.index].solid;
      const Eigen::Vector2d corner = wood ? wood->low : outline_bounds(board).first;
      Json holes = Json::array(), joints = Json::array();
      for (const CutOut &c : board.cut_outs)
        holes.push_back({{"name", clean_text(c.name)},
                         {"shape", shape_word(c)},
                         {"centre_mm", {1e3 * (c.centre - corner).x(), 1e3 * (c.centre - corner).y()}},
                         {"size_mm", {1e3 * c.width, 1e3 * c.height}}});
      for (const JointCut &cut : list.work[p.index].cuts) joints.push_back(clean_text(cut_words(cut)));
      for (const MitreCut &mitre : list.work[p.index].mitres) joints.push_back(clean_text(mitre_words(mitre)));
      Json edges = Json::array(), bent;
      if (wood) {
        for (const EdgeCut &edge : wood->edges) {
          joints.push_back(clean_text(edge_words(*variants[v], p.index, edge)));
          edges.push_back({{"from_mm", {1e3 * edge.line.from.x(), 1e3 * edge.line.from.y()}},
                           {"to_mm", {1e3 * edge.line.to.x(), 1e3 * edge.line.to.y()}},
                           {"length_mm", 1e3 * edge.length},
                           {"saw_deg", edge.angle * 180 / M_PI},
                           {"longer_at", face_words(board)[edge.outer_is_longer ? 1 : 0]},
                           {"kind", edge.is_chamfer ? "chamfer" : "edge"},
                           {"depth_mm", 1e3 * edge.depth},
                           {"with", edge.with.empty() ? Json() : Json(clean_text(edge.with))}});
        }
        if (const auto &b = wood->bent)
          bent = {{"radius_outside_mm", 1e3 * b->radius},
                  {"flat_outer_mm", 1e3 * b->outer},
                  {"flat_middle_mm", 1e3 * b->middle},
                  {"flat_inner_mm", 1e3 * b->inner},
                  {"tube", b->is_tube}};
      }
      parts.push_back({{"part", clean_text(p.board)},
                       {"use", p.use},
                       {"material", clean_text(p.material)},
                       {"layer", p.layer + 1},
                       {"layers", p.layers},
                       {"length_mm", 1e3 * p.length},
                       {"width_mm", 1e3 * p.width},
                       {"thickness_mm", 1e3 * p.thickness},
                       {"grain", grain_text(p)},
                       {"mass_kg", p.mass},
                       {"area_m2", p.area},
                       {"cut_outs", holes},
                       {"joints", joints}});
      if (wood) {
        parts.back()["edges"] = edges;
        parts.back()["bent"] = bent;
      }
    }
    for (const CutStock &k : list.stock)
      stock.push_back({{"material", clean_text(k.material)},
                       {"thickness_mm", 1e3 * k.thickness},
                       {"parts", k.parts},
                       {"area_m2", k.area},
                       {"mass_kg", k.mass},
                       {"stock_boards", k.area / size.area()},
                       {"fits", fits(k, size)}});
    variants_json.push_back({{"name", clean_text(list.variant)},
                             {"mass_kg", list.mass},
                             {"fittings_kg", list.fittings},
                             {"parts", parts},
                             {"stock", stock}});
    for (const std::string &text : cautions(list))
      if (std::find(caution_list.begin(), caution_list.end(), text) == caution_list.end()) caution_list.push_back(text);
  }
  const Json json = {{"schema", "stillbox cut 1"},
                     {"case", clean_text(case_name)},
                     {"units", {{"lengths", "mm, finished"}, {"mass", "kg"}, {"area", "m2"}}},
                     {"stock_size", {{"length_mm", 1e3 * size.length}, {"width_mm", 1e3 * size.width}}},
                     {"variants", variants_json},
                     {"cautions", caution_list}};
  return json.dump(2) + "\n";
}

}  // namespace stillbox
