// SPDX-License-Identifier: MIT
#include "postprocess/commands.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "mesh/grid.h"
#include "mesh/solids.h"
#include "postprocess/air_command.h"
#include "postprocess/air_report.h"
#include "postprocess/board_list.h"
#include "postprocess/check_json.h"
#include "postprocess/chosen_variants.h"
#include "postprocess/drive_command.h"
#include "postprocess/drive_files.h"
#include "postprocess/drive_report.h"
#include "postprocess/file_words.h"
#include "postprocess/knock_command.h"
#include "postprocess/knock_report.h"
#include "postprocess/knock_sound.h"
#include "postprocess/modes_json.h"
#include "postprocess/progress.h"
#include "postprocess/run_steps.h"
#include "postprocess/safe_file.h"
#include "postprocess/sheet_command.h"
#include "postprocess/sheet_value_report.h"
#include "postprocess/solids_rules.h"
#include "postprocess/solve_variants.h"
#include "postprocess/table.h"
#include "postprocess/unfolded_picture.h"
#include "postprocess/vtk_file.h"
#include "solver/drive_air.h"
#include "solver/modes.h"
#include "solver/ranks.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

std::vector<const Structure *> chosen(const CaseFile &file, const RunOptions &options) {
  return chosen_variants(file, options.variants);
}

std::vector<std::string> file_words(const std::vector<const Structure *> &variants) {
  std::vector<std::string> names;
  for (const Structure *s : variants) names.push_back(s->variant_name);
  return stillbox::file_words(names);
}

std::vector<std::string> material_names(const Structure &s) {
  std::vector<std::string> names;
  for (const Material &m : s.materials) names.push_back(m.name);
  return names;
}

std::string cut_out_words(const CutOut &c) {
  const double w = 1e3 * c.width, h = 1e3 * c.height;
  switch (c.shape) {
    case CutOutShape::round:
      return fmt::format("{} round {:.5g} mm", c.name, w);
    case CutOutShape::slot:
      return fmt::format("{} slot {:.5g} x {:.5g} mm", c.name, w, h);
    case CutOutShape::rectangle:
      return fmt::format("{} {:.5g} x {:.5g} mm", c.opening ? "opening" : c.name, w, h);
  }
  return c.name;
}

std::string grain_words(const Structure &s, const Board &board) {
  const StressLaw &law = s.materials[board.layers[0].material].law;
  if (std::abs(law(0, 0) - law(1, 1)) < 1e-6 * law(0, 0)) return "";
  const double degrees = board.layers[0].grain_angle * 180 / M_PI;
  if (std::abs(std::remainder(degrees, 180.0)) < 1e-6) return "along the first size";
  if (std::abs(std::remainder(degrees - 90, 180.0)) < 1e-6) return "along the second size";
  return fmt::format("{:.4g} degrees", degrees);
}

std::string times_line(const SolveReport &r) {
  return fmt::format(
      "  time s: mesh {:.2f}, assembly {:.2f}, factorisation {:.2f}, modes {:.2f}, damping {:.2f}, energies and faces "
      "{:.2f}{}; "
      "{} cells of degree {}, {} unknowns\n",
      r.seconds_mesh, r.seconds_assemble, r.seconds_factorise, r.seconds_eigen, r.seconds_damped, r.seconds_rest,
      r.seconds_files > 0 ? fmt::format(", files {:.2f}", r.seconds_files) : "", r.cells, r.degree, r.dofs);
}

}  // namespace

std::string run_check(const CaseFile &file, const RunOptions &options) {
  std::string text;
  std::vector<CheckedVariant> checked;
  for (const Structure *s : chosen(file, options)) {
    const Volumes volumes = volumes_of(*s);
    std::vector<BoardLine> lines;
    double boards = 0;
    for (std::size_t b = 0; b < s->boards.size(); ++b) {
      const Board &board = s->boards[b];
      static const char *roles[] = {"wall", "brace", "sheet", "free"};
      BoardLine line;
      line.name = board.name;
      line.role = roles[int(board.role)];
      for (const Layer &layer : board.layers)
        line.material += (line.material.empty() ? "" : " / ") + s->materials[layer.material].name;
      line.grain = grain_words(*s, board);
      const auto [low, high] = outline_bounds(board);
      line.size_u = high.x() - low.x();
      line.size_v = high.y() - low.y();
      line.thickness = board.thickness();
      line.mass = volumes.board_mass[b];
      for (const CutOut &c : board.cut_outs) line.cut_outs.push_back(cut_out_words(c));
      boards += line.mass;
      lines.push_back(line);
    }
    text += fmt::format("{}: {}\n{}\n", file.name, s->variant_name,
                        board_list(lines, volumes.mass - boards, volumes.inner) + chamber_words(*s));
    checked.push_back({s->variant_name, lines, volumes.mass - boards, volumes.inner,
                       s->solids ? s->solids->chamber_volume : std::vector<double>()});
  }
  return options.json ? check_json(file.name, checked) : text;
}

std::string run_mesh(const CaseFile &file, const RunOptions &options) {
  check_degree(file, options.degree);
  const auto variants = chosen(file, options);
  const std::vector<std::string> words = file_words(variants);
  const std::string out = options.out.empty() ? "." : options.out;
  check_writable(out);
  std::string text;
  std::vector<MeshedVariant> meshed;
  ProgressLine line;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    SolveOptions o = solve_options(options);
    o.progress = [&](const std::string &step) { show_progress(line, variants[v]->variant_name + ": " + step); };
    SolveReport report;
    const Model m = build_model(*variants[v], o, report);
    ModalField field;
    field.degree = m.discretisation.degree;
    field.knots = m.discretisation.knots;
    field.tetrahedron = m.discretisation.reference;
    field.points = m.discretisation.points;
    field.cells = m.discretisation.cells;
    std::vector<std::string> boards;
    for (const Board &board : variants[v]->boards) boards.push_back(board.name);
    for (const HexCell &cell : m.mesh.cells) {
      field.cell_board.push_back(cell.board);
      field.cell_material.push_back(material_of(variants[v]->boards[cell.board], cell.layer));
    }
    const std::string path = out + "/" + words[v] + "-mesh.vtu";
    write_mesh_vtu(path, field, boards, material_names(*variants[v]));
    text += fmt::format(
        "{}: {} {} of degree {}, {} unknowns, least scaled Jacobian {:.2f}, mass {:.4f} kg (description "
        "{:.4f} kg): {}\n",
        variants[v]->variant_name, report.cells, report.tetrahedra ? "tetrahedra" : "hexahedra", report.degree,
        report.dofs, report.least_jacobian, report.mass, report.mass_expected, path);
    if (report.tetrahedra) text += fmt::format("  tetrahedra because {}\n", report.why_tetrahedra);
    if (variants[v]->solids && variants[v]->solids->step_file.empty()) {
      const std::string step = out + "/" + words[v] + ".step";
      write_step_file(step, *variants[v]);
      text += fmt::format("  the boards as solids: {}\n", step);
    }
    meshed.push_back({variants[v]->variant_name, path, long(report.cells), long(report.dofs), report.degree,
                      report.least_jacobian, report.mass, report.mass_expected, report.tetrahedra});
  }
  wipe_progress(line);
  return options.json ? mesh_json(file.name, meshed) : text;
}

std::string run_modes(const CaseFile &file, const RunOptions &options) {
  const auto variants = chosen(file, options);
  check_degree(file, options.degree);
  check_tables(file, variants, options.up_to);
  if (started_by_mpirun())
    for (const Structure *s : variants)
      if (s->solids)
        throw CaseError(file.path + ": [shape] and [solids] are solved by one process; start stillbox without mpirun");
  if (own_rank() > 0) {  // beside the first process of mpirun, which prints and writes
    for (const Structure *s : variants) solve_modes(*s, solve_options(options));
    return "";
  }
  if (!options.out.empty()) check_writable(options.out);
  ProgressLine line;
  const std::vector<std::string> words = file_words(variants);
  const auto results = solve_variants<ModalResult>(variants, options, line, [&](std::size_t v, const SolveOptions &o) {
    ModalResult result = solve_modes(*variants[v], o);
    if (!options.out.empty()) {
      Stopwatch watch;
      o.progress("writing files");
      write_modes_vtu(options.out + "/" + words[v] + ".vtu", result, material_names(*variants[v]));
      write_file(options.out + "/" + words[v] + ".svg", unfolded_picture(result, options.picture_modes));
      result.report.seconds_files = watch.lap();
    }
    result.field = {};  // the largest part, and it is on disk now
    return result;
  });
  wipe_progress(line);
  std::string times;
  std::vector<VtkPart> parts;
  for (std::size_t v = 0; v < variants.size(); ++v) {
    if (options.times) times += results[v].variant_name + "\n" + times_line(results[v].report);
    parts.push_back({words[v] + ".vtu", results[v].variant_name});
  }
  const auto pairings = pair_with_base(results);
  if (!options.out.empty()) {
    write_file(options.out + "/modes.json", modes_json(results, pairings));
    write_file(options.out + "/modes.csv", modes_csv(results, pairings));
    write_collection_pvd(options.out + "/modes.pvd", parts);
  }
  if (options.json) return modes_json(results, pairings, options.times);
  std::string text = full_table(results, pairings) + times;
  if (!options.out.empty()) text += fmt::format("\nFiles are in {}\n", options.out);
  return text;
}

std::string run_sheet(const CaseFile &file, const RunOptions &options, const SheetOptions &sheet) {
  check_degree(file, options.degree);
  const auto variants = chosen(file, options);
  check_sheet_shapes(file, variants);
  check_band(sheet, options.up_to);
  check_tables(file, variants, options.up_to);
  std::vector<Material> materials;
  for (const Structure *s : variants) materials.push_back(sheet_material(file, *s, sheet));
  if (!options.out.empty()) check_writable_later(options.out);
  ProgressLine line;
  const auto values = solve_variants<SheetValue>(variants, options, line, [&](std::size_t v, const SolveOptions &o) {
    return solve_sheet_value(*variants[v], o, sheet, materials[v]);
  });
  wipe_progress(line);
  std::string text;
  for (const SheetValue &value : values) text += sheet_value_table(value) + "\n";
  text += sheet_value_cautions(values);
  if (options.json) text = sheet_value_json(values);
  if (options.out.empty()) return text;
  check_writable(options.out, FolderUse::after_work);
  const std::vector<std::string> words = file_words(variants);
  for (std::size_t v = 0; v < variants.size(); ++v)
    write_file(options.out + "/" + words[v] + "-sheet.svg", sheet_value_picture(*variants[v], values[v]));
  write_file(options.out + "/sheet.csv", sheet_value_csv(values));
  if (options.json) return text;
  return text + fmt::format("\nFiles are in {}\n", options.out);
}

std::string run_knock(const CaseFile &file, const RunOptions &options, const KnockOptions &knock) {
  const auto variants = chosen(file, options);
  check_degree(file, options.degree);
  check_knock(knock);
  check_tables(file, variants, options.up_to);
  std::vector<std::vector<KnockPoint>> points;
  for (const Structure *s : variants) points.push_back(knock_points_of(*s, knock));
  if (!options.out.empty()) check_knock_files(options.out);
  ProgressLine line;
  const auto solutions =
      solve_variants<KnockSolution>(variants, options, line, [&](std::size_t v, const SolveOptions &o) {
        KnockSolution solution = solve_knock(*variants[v], o, points[v]);
        solution.modes.field = {};  // the largest part, and nothing here draws shapes
        return solution;
      });
  wipe_progress(line);
  std::string text;
  for (const KnockSolution &solution : solutions) {
    text += knock_table(solution, knock.pulse, !knock.at.empty());
    if (options.times) text += times_line(solution.modes.report);
    text += "\n";
  }
  std::vector<KnockModel> models;
  std::vector<ModalResult> results;
  for (const KnockSolution &solution : solutions) {
    models.push_back(solution.model);
    results.push_back(solution.modes);
  }
  if (options.json)
    text = knock_json(models, results, knock.pulse, knock_sounds(models, results, knock.pulse));
  else
    text += knock_text(models, results, knock.pulse) + "\n" + knock_cautions();
  if (options.out.empty()) return text;
  write_knock_files(options.out, models, results, knock.pulse);
  write_file(options.out + "/mobility.json", mobility_json(solutions, knock.pulse, knock.at.size() > 1));
  write_file(options.out + "/mobility.csv", mobility_csv(solutions, knock.pulse));
  if (!knock.at.empty()) write_file(options.out + "/knock-time.csv", knock_time_csv(solutions, knock.pulse));
  if (options.json) return text;
  return text + fmt::format("\nFiles are in {}\n", options.out);
}

std::string run_air(const CaseFile &file, const RunOptions &options) {
  check_degree(file, options.degree);
  const auto variants = chosen(file, options);
  check_air(file, variants);
  check_tables(file, variants, options.up_to);
  if (!options.out.empty()) check_writable(options.out);
  ProgressLine line;
  const std::vector<std::string> words = file_words(variants);
  const auto solutions =
      solve_variants<AirSolution>(variants, options, line, [&](std::size_t v, const SolveOptions &o) {
        AirSolution a = solve_air(*variants[v], o);
        if (!options.out.empty()) write_standing_waves_vtu(options.out + "/" + words[v] + "-air.vtu", a);
        a.field = {};
        a.modes.field = {};  // the largest parts
        return a;
      });
  wipe_progress(line);
  std::string text;
  for (const AirSolution &a : solutions) {
    text += air_table(a);
    if (options.times) text += times_line(a.modes.report) + fmt::format("  time s: air inside {:.2f}\n", a.seconds_air);
    text += "\n";
  }
  text = options.json ? air_json(solutions) : text + air_cautions(solutions);
  if (options.out.empty()) return text;
  write_file(options.out + "/air.json", air_json(solutions));
  write_file(options.out + "/air.csv", air_csv(solutions));
  if (options.json) return text;
  return text + fmt::format("\nFiles are in {}\n", options.out);
}

std::string run_drive(const CaseFile &file, const RunOptions &options, const DriveOptions &drive) {
  check_degree(file, options.degree);
  const auto variants = chosen(file, options);
  check_drive(file, variants, options, drive);
  check_tables(file, variants, modes_beyond * options.up_to);
  if (!options.out.empty()) check_drive_files(options.out);
  ProgressLine line;
  const auto solutions = drive_variants(variants, options, drive, line);
  wipe_progress(line);
  std::string times;
  for (const DriveSolution &s : solutions) {
    if (!options.times) break;
    times += s.variant_name + "\n" + times_line(s.modes.report) +
             fmt::format("  of the damping: shapes {:.2f}, sound outside {:.2f}, response {:.2f}\n", s.seconds_shapes,
                         s.seconds_sound, s.seconds_response);
  }
  wipe_progress(line);
  const std::string text = options.json ? drive_json(solutions) : drive_text(solutions) + times;
  if (options.out.empty()) return text;
  write_drive_files(options.out, solutions);
  if (options.json) return text;
  return text + fmt::format("\nFiles are in {}\n", options.out);
}

}  // namespace stillbox
