// SPDX-License-Identifier: MIT
#pragma once
#include <map>
#include <string>
#include <vector>

namespace stillbox {

/// A variant as a column of a table by third-octave bands.
struct BandColumn {
  std::string variant_name;
  std::map<int, std::string> cells;  ///< by band
  std::string last;                  ///< below all bands, where the table has such a row
};

/// A row for each band that any variant has, "-" where one has none, and a row called `last_row` with the columns'
/// `last`; as many variants side by side as the width holds, the others in tables below. A table without rows is left
/// out.
std::string band_table(const std::vector<BandColumn> &variants, const std::string &last_row = "");

}  // namespace stillbox
