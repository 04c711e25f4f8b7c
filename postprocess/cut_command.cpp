// SPDX-License-Identifier: MIT
#include "postprocess/cut_command.h"

#include <fmt/format.h>

#include "mesh/length.h"
#include "postprocess/board_drawing.h"
#include "postprocess/chosen_variants.h"
#include "postprocess/cut_report.h"
#include "postprocess/file_words.h"
#include "postprocess/safe_file.h"
#include "postprocess/text.h"
#include "postprocess/toml_text.h"

namespace stillbox {
namespace {

StockSize read_stock_size(const std::string &text) {
  StockSize stock;
  if (text.empty()) return stock;
  const auto cells = comma_cells(text);
  double sizes[2] = {0, 0};
  for (std::size_t i = 0; i < 2 && cells.size() == 2; ++i) {
    auto length = parse_length(cells[i]);
    if (!length) length = parse_length(cells[i] + " mm");
    if (length) sizes[i] = *length;
  }
  for (const double size : sizes)
    if (!(size >= 0.1 && size <= 10))
      throw CaseError(
          fmt::format("cut: --stock-size: value {}; allowed: \"LENGTH, WIDTH\", each 100 .. 10000 mm; give "
                      "the length along the grain first, such as \"2440, 1220\"",
                      toml_string(text)));
  stock.length = sizes[0];
  stock.width = sizes[1];
  return stock;
}

}  // namespace

std::string run_cut(const CaseFile &file, const CutOptions &options) {
  const auto variants = chosen_variants(file, options.variants);
  const StockSize stock = read_stock_size(options.stock_size);
  std::vector<CutList> lists;
  std::vector<std::string> names;
  for (const Structure *s : variants) {
    lists.push_back(cut_list(*s, file.path));
    names.push_back(s->variant_name);
  }
  const std::string json = cut_json(file.name, variants, lists, stock);
  std::string text;
  for (std::size_t v = 0; v < lists.size(); ++v) text += cut_text(file.name, *variants[v], lists[v], stock) + "\n";
  if (!options.out.empty()) {
    check_writable(options.out);
    write_file(options.out + "/cut.csv", cut_csv(variants, lists));
    write_file(options.out + "/cut.json", json);
    const std::vector<std::string> words = file_words(names);
    for (std::size_t v = 0; v < variants.size(); ++v) {
      std::vector<std::string> boards;
      for (const Board &board : variants[v]->boards) boards.push_back(board.name);
      const std::vector<std::string> board_words = file_words(boards);
      for (std::size_t b = 0; b < boards.size(); ++b)
        write_file(options.out + "/" + words[v] + "-" + board_words[b] + ".dxf",
                   board_drawing_dxf(*variants[v], int(b), lists[v]));
    }
    text += fmt::format("Files are in {}\n", clean_text(options.out));
  }
  return options.json ? json : text;
}

}  // namespace stillbox
