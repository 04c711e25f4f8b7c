// SPDX-License-Identifier: MIT
#include "postprocess/solids_rules.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "mesh/box_form.h"
#include "mesh/solid_model.h"
#include "mesh/step_file.h"
#include "postprocess/child_process.h"
#include "postprocess/safe_file.h"

namespace stillbox {
namespace {

constexpr int most_degree = 5;

bool has_solids(const CaseFile &file) {
  return std::any_of(file.variants.begin(), file.variants.end(), [](const Structure &s) { return bool(s.solids); });
}

bool has_tetrahedra(const CaseFile &file) {
  return std::any_of(file.variants.begin(), file.variants.end(), [](const Structure &s) {
    std::string why;
    return s.solids && !boxed_shape(s, why);
  });
}

}  // namespace

void refuse_solids(const CaseFile &file, const std::string &command) {
  if (!has_solids(file)) return;
  throw CaseError(
      fmt::format("{}: `{}` works on boxes ([cabinet]) and free boards only, not on a [shape] or [solids]; "
                  "use one of the other commands, or describe a box of like size",
                  file.path, command));
}

int usual_degree_of(const CaseFile &file) { return has_tetrahedra(file) ? 4 : 3; }

void check_degree(const CaseFile &file, int degree) {
  if (degree <= most_degree || !has_tetrahedra(file)) return;
  throw CaseError(
      fmt::format("{}: degree {}; allowed: 2 .. {}, as some variant is meshed with tetrahedra; lower "
                  "--degree or mesh.degree",
                  file.path, degree, most_degree));
}

std::string chamber_words(const Structure &s) {
  if (!s.solids) return "";
  const std::vector<double> &rooms = s.solids->chamber_volume;
  if (rooms.empty()) return "The room inside is not known: a STEP file holds the wood only.\n";
  if (rooms.size() == 1) return "";
  std::string list;
  for (std::size_t i = 0; i < rooms.size(); ++i)
    list += fmt::format("{}{:.2f}", i == 0 ? "" : i + 1 == rooms.size() ? " and " : ", ", 1e3 * rooms[i]);
  return fmt::format("{} chambers of {} litres.\n", rooms.size(), list);
}

void write_step_file(const std::string &path, const Structure &s) {
  const TemporaryFolder folder;
  const std::string temporary = (folder.path / "solids.step").string();
  try {
    write_step(s, temporary);
  } catch (const StepError &error) {
    throw OutputError(path, error.what());
  }
  std::ifstream in(temporary, std::ios::binary);
  std::string text{std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
  // FILE_NAME('name','time', ...: the time would make every file another one.
  const std::size_t name = text.find("FILE_NAME("), comma = text.find(",'", name), end = text.find("'", comma + 2);
  if (name == std::string::npos || comma == std::string::npos || end == std::string::npos)
    throw OutputError(path, "the STEP writer wrote no header");
  text.replace(comma + 2, end - comma - 2, "2000-01-01T00:00:00");
  write_file(path, text);
}

}  // namespace stillbox
