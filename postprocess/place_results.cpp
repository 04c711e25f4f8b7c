// SPDX-License-Identifier: MIT
#include "postprocess/place_results.h"

#include <filesystem>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "postprocess/child_process.h"
#include "postprocess/place_rows.h"
#include "postprocess/report_sections.h"

namespace stillbox {

void read_place_results(const std::string &folder, const std::string &fingerprint, ReportData &data) {
  const std::filesystem::path path(folder);
  const std::string candidates = bytes_of_file(path / "candidates.csv"), text = bytes_of_file(path / "place.json");
  data.place_missing = "not in this folder";
  if (candidates.empty() || text.empty()) return;
  try {
    const std::vector<PlaceRow> rows = read_place_rows(candidates);
    if (rows.empty() || rows.front().search != fingerprint) {
      data.place_missing =
          "what is in this folder is of another search (the case, the materials, --up-to, --fineness or "
          "--degree were others)";
      return;
    }
    const auto json = nlohmann::json::parse(text);
    if (json.value("schema", "") != "stillbox place 1") throw std::runtime_error("no place.json");
    data.place_json = text;
    place_section(data);  // on trial: found out before any work
  } catch (const std::exception &) {
    data.place_json.clear();
    data.place_missing = "what is in this folder cannot be read";
    return;
  }
  data.place_svg = bytes_of_file(path / "place.svg");
}

}  // namespace stillbox
