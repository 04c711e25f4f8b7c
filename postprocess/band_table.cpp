// SPDX-License-Identifier: MIT
#include "postprocess/band_table.h"

#include <algorithm>
#include <set>

#include "mesh/clean_text.h"
#include "postprocess/table.h"
#include "postprocess/text.h"
#include "postprocess/text_table.h"
#include "postprocess/third_octave.h"

namespace stillbox {

std::string band_table(const std::vector<BandColumn> &variants, const std::string &last_row) {
  constexpr std::size_t at_once = 5, most_name = 18;
  std::string out;
  for (std::size_t from = 0; from < variants.size(); from += at_once) {
    const std::size_t end = std::min(from + at_once, variants.size());
    std::vector<Column> columns{{"Hz"}};
    std::set<int> bands;
    for (std::size_t v = from; v < end; ++v) {
      columns.push_back({shorten(clean_text(variants[v].variant_name), most_name)});
      for (const auto &[band, cell] : variants[v].cells) bands.insert(band);
    }
    std::vector<std::vector<std::string>> rows;
    for (const int band : bands) {
      rows.push_back({third_octave_name(band)});
      for (std::size_t v = from; v < end; ++v) {
        const auto cell = variants[v].cells.find(band);
        rows.back().push_back(cell == variants[v].cells.end() ? "-" : cell->second);
      }
    }
    if (!last_row.empty()) {
      rows.push_back({last_row});
      for (std::size_t v = from; v < end; ++v) rows.back().push_back(variants[v].last);
    }
    if (rows.empty()) continue;
    out += (out.empty() ? "" : "\n") + text_table(columns, rows, table_width);
  }
  return out;
}

}  // namespace stillbox
