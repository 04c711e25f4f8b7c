// SPDX-License-Identifier: MIT
#include "postprocess/board_list.h"

#include <fmt/format.h>

#include <cmath>

#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"

namespace stillbox {
namespace {

/// Millimetres to a tenth, whole ones without a decimal.
std::string millimetres(double metres) {
  const double tenths = std::round(1e4 * metres);
  return std::fmod(tenths, 10) == 0 ? fmt::format("{:.0f}", tenths / 10) : fmt::format("{:.1f}", tenths / 10);
}

/// Heavier than this should not be lifted alone: common practice, no source.
constexpr double lift_alone = 25;  // kg

}  // namespace

std::string board_list(const std::vector<BoardLine> &boards, double mass_of_fittings, double inner_volume) {
  const std::vector<Column> columns{{"board", Align::left, 22},
                                    {"use", Align::left},
                                    {"across\nmm"},
                                    {"up\nmm"},
                                    {"thick\nmm"},
                                    {"kg"},
                                    {"material", Align::left, 22},
                                    {"grain", Align::left, 12},
                                    {"cut-outs", Align::left}};
  std::vector<std::vector<std::string>> rows;
  double mass = 0;
  for (const BoardLine &board : boards) {
    mass += board.mass;
    std::string cut_outs;
    for (const std::string &text : board.cut_outs) cut_outs += (cut_outs.empty() ? "" : "; ") + clean_text(text);
    rows.push_back({clean_text(board.name), clean_text(board.role), millimetres(board.size_u),
                    millimetres(board.size_v), millimetres(board.thickness), fmt::format("{:.2f}", board.mass),
                    clean_text(board.material), board.grain.empty() ? "-" : clean_text(board.grain),
                    cut_outs.empty() ? "-" : cut_outs});
  }
  std::string out = text_table(columns, rows, table_width) + "\n";
  out += fmt::format("{} boards, {:.2f} kg", boards.size(), mass);
  if (mass_of_fittings > 0)
    out += fmt::format(" and fittings {:.2f} kg: {:.2f} kg", mass_of_fittings, mass + mass_of_fittings);
  if (inner_volume > 0) out += fmt::format("; {:.2f} litres inside", 1e3 * inner_volume);
  out +=
      "\nSizes are finished sizes of the model: allow for the saw, and measure the thickness of your own boards.\n\n";
  out += paragraph(
      "Caution: ",
      "dust of MDF, particle board and hardwood harms the lungs: cut with extraction and wear a fitting dust "
      "mask, with eye and ear protection. Glue in a well-aired room. Keep to the saw's and router's own rules.",
      table_width);
  if (mass + mass_of_fittings > lift_alone) {
    out += paragraph("Caution: ", fmt::format("over {:.0f} kg: lift it with two people.", lift_alone), table_width);
  }
  return out;
}

}  // namespace stillbox
