// SPDX-License-Identifier: MIT
#include "postprocess/materials_path.h"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <vector>

#include "mesh/case_file.h"

namespace stillbox {

std::string materials_path() {
  namespace fs = std::filesystem;
  std::error_code code;
  const char *const told = std::getenv("STILLBOX_MATERIALS");
  if (told && *told) {
    if (!fs::is_regular_file(told, code))
      throw CaseError(
          fmt::format("STILLBOX_MATERIALS: value \"{}\"; allowed: a file; name a list of materials, or "
                      "unset it for the built-in one",
                      told));
    return told;
  }
  std::vector<fs::path> places;
  const fs::path program = fs::read_symlink("/proc/self/exe", code);
  if (!code) places = {program.parent_path() / "share", program.parent_path().parent_path() / "share"};
  places.emplace_back(STILLBOX_DATA_FOLDER);
  std::string looked;
  for (const fs::path &place : places) {
    const fs::path file = place / "stillbox" / "materials.toml";
    if (fs::is_regular_file(file, code)) return file.string();
    looked += (looked.empty() ? "" : ", ") + file.string();
  }
  throw CaseError(
      fmt::format("the built-in materials are missing: there is none of {}; set STILLBOX_MATERIALS to a copy of "
                  "materials.toml",
                  looked));
}

}  // namespace stillbox
