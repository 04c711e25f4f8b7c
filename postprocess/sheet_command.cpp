// SPDX-License-Identifier: MIT
#include "postprocess/sheet_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "mesh/box_form.h"
#include "mesh/case_materials.h"
#include "mesh/keys.h"
#include "mesh/length.h"
#include "mesh/mesh_error.h"
#include "postprocess/safe_file.h"
#include "solver/lossy_parts.h"

namespace stillbox {

Material sheet_material(const CaseFile &file, const Structure &s, const SheetOptions &sheet) {
  const Board *thinnest = nullptr;
  for (const Board &board : s.boards)
    if (board.role != BoardRole::sheet && (!thinnest || board.thickness() < thinnest->thickness())) thinnest = &board;
  // Written so that a thickness that is not a number is refused too.
  if (!(sheet.thickness > 0) || (thinnest && !(sheet.thickness <= thinnest->thickness() + 1e-9)))
    throw CaseError(fmt::format(
        "{}: --thickness {}: allowed above 0 and up to {} mm, the thickness of \"{}\" in \"{}\"; the figures hold for "
        "sheets that are thin against their board",
        file.path, number_text(1e3 * sheet.thickness), thinnest ? number_text(1e3 * thinnest->thickness()) : "0",
        thinnest ? thinnest->name : "", s.variant_name));
  for (const Material &m : s.materials)
    if (m.name == sheet.material) return m;
  std::vector<std::string> names;
  for (const Material &m : materials_of_case(file.path, sheet.materials_path, s.temperature)) {
    if (m.name == sheet.material) return m;
    names.push_back(m.name);
  }
  const std::string near = suggestion(sheet.material, names);
  throw CaseError(fmt::format("{}: --material \"{}\": there is no such material{}; known are {}", file.path,
                              sheet.material, near.empty() ? "" : ": " + near, joined(names, 40)));
}

void check_band(const SheetOptions &sheet, double up_to) {
  if (sheet.mode != 0) return;
  const double to = sheet.to > 0 ? sheet.to : up_to;
  if (!(sheet.from < to))
    throw CaseError(fmt::format("--from {} Hz: must lie below {} {} Hz; allowed 0 .. {}", number_text(sheet.from),
                                sheet.to > 0 ? "--to" : "the top frequency", number_text(to), number_text(to)));
  if (to > up_to)
    throw CaseError(fmt::format("--to {} Hz: lies beyond --up-to {} Hz; raise that or leave it out", number_text(to),
                                number_text(up_to)));
}

void check_sheet_shapes(const CaseFile &file, const std::vector<const Structure *> &variants) {
  for (const Structure *s : variants) {
    std::string why;
    const bool any_bent = std::any_of(s->boards.begin(), s->boards.end(), [](const Board &b) { return bool(b.bend); });
    if (!s->solids || (boxed_shape(*s, why) && !any_bent)) continue;
    throw CaseError(
        fmt::format("{}: `sheet` works on boxes ([cabinet]), free boards and a [shape] of four flat walls, not on "
                    "\"{}\", because {}; use one of the other commands, or describe a box of like size",
                    file.path, s->variant_name, any_bent ? "it has bent walls" : why));
  }
}

SheetValue solve_sheet_value(const Structure &s, const SolveOptions &options, const SheetOptions &sheet,
                             const Material &material) {
  SolveReport report;
  Model m = build_model(s, options, report);
  if (report.tetrahedra)
    throw MeshError("\"" + s.variant_name + "\": `sheet` reads strains from hexahedra, and " + report.why_tetrahedra);
  const Spectrum spectrum = solve_spectrum(m, options, report);
  const int found = int(spectrum.elastic.values.size());
  SheetRequest request;
  request.material = material;
  request.thickness = sheet.thickness;
  if (sheet.mode > found)
    throw CaseError(fmt::format("--mode {}: \"{}\" has {} modes up to {} Hz; allowed {}, or raise --up-to", sheet.mode,
                                s.variant_name, found, number_text(options.up_to),
                                found > 0 ? fmt::format("1 .. {}", found) : "none"));
  if (options.progress) options.progress("strains of the faces");
  try {
    const std::vector<DampedMode> damped = energy_modes(make_damped_problem(m), spectrum.elastic);
    const double to = sheet.to > 0 ? sheet.to : options.up_to;
    for (int i = 0; i < found; ++i)
      if (sheet.mode > 0 ? i + 1 == sheet.mode : damped[i].frequency >= sheet.from && damped[i].frequency <= to)
        request.modes.push_back(i);
    if (request.modes.empty())
      throw CaseError(fmt::format("\"{}\" has no mode between {} and {} Hz{}; choose another band", s.variant_name,
                                  number_text(sheet.from), number_text(to),
                                  found > 0 ? fmt::format(", its first is at {:.1f} Hz", damped[0].frequency) : ""));
    return sheet_value(m, spectrum.elastic, damped, request);
  } catch (const std::domain_error &error) {
    throw CaseError(fmt::format("\"{}\": the loss factors cannot be found: {}", s.variant_name, error.what()));
  }
}

void check_writable_later(const std::string &folder) {
  std::error_code code;
  if (std::filesystem::exists(folder, code)) return check_writable(folder);
  std::filesystem::path there = std::filesystem::absolute(folder);
  while (there.has_relative_path() && !std::filesystem::exists(there, code)) there = there.parent_path();
  check_writable(there.string(), FolderUse::not_kept);
}

}  // namespace stillbox
