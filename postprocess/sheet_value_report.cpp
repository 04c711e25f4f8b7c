// SPDX-License-Identifier: MIT
#include "postprocess/sheet_value_report.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "mesh/length.h"
#include "postprocess/modes_json.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

std::string thousandths(double loss) { return std::isfinite(loss) ? fmt::format("{:.2f}", 1e3 * loss) : "-"; }

std::string percent(double relative) { return std::isfinite(relative) ? fmt::format("{:+.1f}", 100 * relative) : "-"; }

std::string litres(const SheetGain &gain) { return gain.volume > 0 ? fmt::format("{:.3f}", 1e3 * gain.volume) : "-"; }

/// "[110, 190]", in mm.
std::string pair_text(const Eigen::Vector2d &p) {
  return fmt::format("[{}, {}]", number_text(std::round(1e4 * p.x()) / 10), number_text(std::round(1e4 * p.y()) / 10));
}

/// Whole faces are ranked already; this ranks the best squares, equal ones (to one part in a million) in that order.
std::vector<std::size_t> by_best(const SheetValue &value) {
  std::vector<std::size_t> order(value.faces.size());
  std::iota(order.begin(), order.end(), 0);
  double most = 0;
  for (const SheetFace &face : value.faces) most = std::max(most, std::abs(face.best.added));
  const auto rank = [&](std::size_t f) {
    return most > 0 ? std::llround(1e6 * value.faces[f].best.added / most) : 0LL;
  };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return rank(a) > rank(b); });
  return order;
}

std::string modes_text(const SheetValue &value) {
  const SheetMode &first = value.modes.front(), &last = value.modes.back();
  if (value.modes.size() == 1)
    return fmt::format("mode {}, {:.1f} Hz, loss factor {:.4f}", first.number, first.frequency, first.loss_factor);
  double mean = 0;
  for (const SheetMode &mode : value.modes) mean += mode.loss_factor / double(value.modes.size());
  return fmt::format("mean over modes {} to {}, {:.1f} to {:.1f} Hz, mean loss factor {:.4f}", first.number,
                     last.number, first.frequency, last.frequency, mean);
}

std::string whole_table(const SheetValue &value) {
  std::vector<std::vector<std::string>> rows;
  for (std::size_t f = 0; f < value.faces.size(); ++f) {
    const SheetFace &face = value.faces[f];
    rows.push_back({std::to_string(f + 1), shorten(clean_text(face.board), 28), face.face.word,
                    fmt::format("{:.2f}", 100 * face.whole.area), thousandths(face.whole.added / face.whole.area / 100),
                    thousandths(face.whole.added), percent(face.whole.relative), fmt::format("{:.3f}", face.whole.mass),
                    litres(face.whole), thousandths(face.whole.per_kg())});
  }
  return text_table({{"rank"},
                     {"board", Align::left},
                     {"face", Align::left},
                     {"clear\ndm2"},
                     {"added\nper dm2"},
                     {"added\nby all"},
                     {"gain\n%"},
                     {"kg"},
                     {"litres\nlost"},
                     {"added\nper kg"}},
                    rows, table_width);
}

std::string best_table(const SheetValue &value) {
  std::vector<std::vector<std::string>> rows;
  int rank = 0;
  for (const std::size_t f : by_best(value)) {
    const SheetFace &face = value.faces[f];
    rows.push_back({std::to_string(++rank), shorten(clean_text(face.board), 28), face.face.word, pair_text(face.centre),
                    pair_text(face.size), thousandths(face.best.added), percent(face.best.relative),
                    fmt::format("{:.3f}", face.best.mass), litres(face.best), thousandths(face.best.per_kg()),
                    face.best_is_bare ? "" : "yes"});
  }
  std::vector<Column> columns{{"rank"},
                              {"board", Align::left},
                              {"face", Align::left},
                              {"centre mm\n[across, up]", Align::left},
                              {"size mm", Align::left},
                              {"added"},
                              {"gain\n%"},
                              {"kg"},
                              {"litres\nlost"},
                              {"added\nper kg"}};
  if (std::any_of(rows.begin(), rows.end(), [](const auto &row) { return !row.back().empty(); }))
    columns.push_back({"cut", Align::left});
  else
    for (auto &row : rows) row.pop_back();
  return text_table(columns, rows, table_width);
}

std::string number(double x) { return std::isfinite(x) ? fmt::format("{:.10g}", x) : ""; }

}  // namespace

std::string sheet_value_table(const SheetValue &value) {
  std::string out = clean_text(value.case_name) + ": " + clean_text(value.variant_name) + "\n";
  out += paragraph("  ",
                   fmt::format("Added loss factor by {} of {}, in thousandths; {}.", length_text(value.thickness),
                               clean_text(value.material), modes_text(value)),
                   table_width);
  if (value.faces.empty()) return out + "  No bare face is left for a sheet.\n";
  std::string piece = fmt::format("A square decimetre of it weighs {:.0f} g", 10 * value.mass_per_area());
  if (value.has_cabinet) piece += fmt::format(" and takes {:.3f} litres", 10 * value.thickness);
  const SheetFace &top = value.faces[by_best(value).front()];
  piece += fmt::format("; at the best place it adds {}", thousandths(top.best.added));
  if (std::isfinite(top.best.relative)) piece += fmt::format(" ({} %)", percent(top.best.relative));
  const auto per_dm2 = [](const SheetFace &face) { return thousandths(face.whole.added / face.whole.area / 100); };
  const std::string least = per_dm2(value.faces.back()), most = per_dm2(value.faces.front());
  piece += ", on a face as a whole " + (least == most ? most : "between " + least + " and " + most) + ".";
  out += paragraph("  ", piece, table_width);
  out += "\nWhole faces, by added loss per kg\n" + whole_table(value);
  out +=
      "\nBest square decimetre of each face (smaller faces: as far as they go; cut: no clear square is left, the "
      "piece\n"
      "is cut around holes and what is glued there)\n" +
      best_table(value);
  return out;
}

std::string sheet_value_cautions(const std::vector<SheetValue> &variants) {
  double most = 0;
  for (const SheetValue &value : variants) most = std::max(most, value.stiffening);
  std::string out = "What these figures are\n";
  const auto say = [&](const std::string &text) { out += paragraph("  ", text, table_width); };
  say("A prediction, not a measurement; loss factors are the least certain figures of all, those of sheets above all.");
  say(
      fmt::format("A thin free layer that takes the board's strain as it is: the mode's shape stays. Neglected are the "
                  "sheet's own mass and stiffening; the stiffest whole face would add {:.1f} % to a mode's stiffness, "
                  "and the figures may be off by about as much, more where two modes lie close together. Lay the sheet "
                  "with [[sheet]] and solve again before you order.",
                  100 * most));
  say("gain %: added over the mode's own loss factor by the energy method. A strip of a few thicknesses along a "
      "sheet's "
      "edge strains less than the board. Faces that are covered already are not listed.");
  say("Constrained layers work where the shear between board and foil is large, not where the face strains most: this "
      "does not rank them.");
  say("Hot or solvent-borne bitumen: in a well-aired room, away from flames, with gloves.");
  return out;
}

std::string sheet_value_csv(const std::vector<SheetValue> &variants) {
  std::string out = csv_line({"variant",
                              "rank",
                              "board",
                              "face",
                              "mode",
                              "frequency_hz",
                              "loss_factor",
                              "material",
                              "thickness_mm",
                              "clear_area_dm2",
                              "mass_kg",
                              "litres_lost",
                              "added_loss",
                              "gain_percent",
                              "added_loss_per_kg",
                              "best_centre_across_mm",
                              "best_centre_up_mm",
                              "best_size_across_mm",
                              "best_size_up_mm",
                              "best_area_dm2",
                              "best_mass_kg",
                              "best_litres_lost",
                              "best_added_loss",
                              "best_gain_percent",
                              "best_added_loss_per_kg",
                              "best_is_clear"});
  for (const SheetValue &value : variants)
    for (std::size_t f = 0; f < value.faces.size(); ++f) {
      const SheetFace &face = value.faces[f];
      for (std::size_t k = 0; k <= value.modes.size(); ++k) {
        const bool is_mean = k == 0;
        const SheetMode mode = is_mean ? SheetMode{} : value.modes[k - 1];
        const auto added = [&](const SheetGain &gain) { return is_mean ? gain.added : gain.per_mode[k - 1]; };
        const auto gain_percent = [&](const SheetGain &gain) {
          return 100 * (is_mean ? gain.relative : gain.per_mode[k - 1] / mode.loss_factor);
        };
        out += csv_line({value.variant_name,
                         std::to_string(f + 1),
                         face.board,
                         face.face.word,
                         is_mean ? "mean" : std::to_string(mode.number),
                         is_mean ? "" : number(mode.frequency),
                         is_mean ? "" : number(mode.loss_factor),
                         value.material,
                         number(1e3 * value.thickness),
                         number(100 * face.whole.area),
                         number(face.whole.mass),
                         number(1e3 * face.whole.volume),
                         number(added(face.whole)),
                         number(gain_percent(face.whole)),
                         number(added(face.whole) / face.whole.mass),
                         number(1e3 * face.centre.x()),
                         number(1e3 * face.centre.y()),
                         number(1e3 * face.size.x()),
                         number(1e3 * face.size.y()),
                         number(100 * face.best.area),
                         number(face.best.mass),
                         number(1e3 * face.best.volume),
                         number(added(face.best)),
                         number(gain_percent(face.best)),
                         number(added(face.best) / face.best.mass),
                         face.best_is_bare ? "yes" : "no"});
      }
    }
  return out;
}

}  // namespace stillbox
