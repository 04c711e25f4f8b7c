// SPDX-License-Identifier: MIT
// The winner as a variant of the case file, of place_report.h.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/alike_meshes.h"
#include "mesh/case_file.h"
#include "postprocess/place_report.h"
#include "postprocess/toml_text.h"

namespace stillbox {

PlacedVariant placed_variant(const PlaceReport &report, const std::string &case_path) {
  const PlaceSearch &search = *report.search;
  const PlaceRow &row = report.rows[report.ranking.at(0).row];
  PlacedVariant variant;
  const auto is_taken = [&](const std::string &name) {
    return std::any_of(search.trees.trees.begin(), search.trees.trees.end(),
                       [&](const auto &t) { return t.first == name; });
  };
  variant.name = "placed";
  for (int i = 2; is_taken(variant.name); ++i) variant.name = fmt::format("placed {}", i);
  variant.block = "[[variant]]\nname = " + toml_word(variant.name) + "\n";
  if (search.request.variant != search.trees.trees.front().first)
    variant.block += "based_on = " + toml_word(search.request.variant) + "\n";
  variant.block +=
      "note = " +
      toml_word(fmt::format("best of {} candidates by {}", report.rows.size(), place_heading(search.request.aim))) +
      "\n";
  variant.block +=
      "replace = " + toml_of(place_changes(search.request, search.lines[std::size_t(row.line)], row.at)) + "\n";
  variant.text = text_with_block(case_path, variant.block);
  return variant;
}

std::string check_placed_variant(const PlacedVariant &variant, const PlaceReport &report,
                                 const std::string &materials_path) {
  const PlaceRow &row = report.rows[report.ranking.at(0).row];
  const Structure wanted = candidate_structure(*report.search, row.line, row.at);
  try {
    const CaseFile file = read_case_text(variant.text, "the placed case", materials_path);
    const Structure &s = file.variants.back();
    if (s.variant_name != variant.name) return "the variant is not the last one of the file";
    const auto maps = axis_maps(wanted, s);
    if (!maps) return "the boards read otherwise than they were found";
    for (const AxisMap &map : *maps)
      for (std::size_t i = 0; i < map.from.size(); ++i)
        if (std::abs(map.from[i] - map.to[i]) > 1e-6) return "a board reads at another place than it was found";
    if (std::abs(volumes_of(s).mass - volumes_of(wanted).mass) > 1e-6) return "the boards weigh otherwise";
  } catch (const CaseError &error) {
    return error.what();
  }
  return "";
}

}  // namespace stillbox
