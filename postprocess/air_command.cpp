// SPDX-License-Identifier: MIT
#include "postprocess/air_command.h"

#include <fmt/format.h>

#include "mesh/inside_mesh.h"
#include "mesh/mesh_error.h"
#include "postprocess/vtk_file.h"

namespace stillbox {

void check_air(const CaseFile &file, const std::vector<const Structure *> &variants) {
  for (const Structure *s : variants) {
    if (s->solids) {
      try {
        make_inside_mesh(*s, {});
      } catch (const MeshError &error) {
        throw CaseError(fmt::format(
            "{}: `air` works on boxes ([cabinet]) and on a [shape] of four upright walls; of \"{}\": {}; use one of "
            "the other commands, or describe a box of like size",
            file.path, s->variant_name, error.what()));
      }
    }
    if (!s->cabinet && !s->solids)
      throw CaseError(
          fmt::format("{}: key cabinet: \"{}\" has no [cabinet] and so no air inside; allowed: a case with a "
                      "[cabinet]; use `modes` for boards on their own",
                      file.path, s->variant_name));
  }
}

void write_standing_waves_vtu(const std::string &path, const AirSolution &a) {
  std::vector<PressureShape> shapes;
  for (int i = a.air.chambers; i < a.air.standing && a.air.frequencies[i] <= a.modes.report.up_to; ++i)
    shapes.push_back(
        {fmt::format("wave {:02} {:.1f} Hz", i - a.air.chambers + 1, a.air.frequencies[i]), a.field.shapes.col(i)});
  ModalField field;
  field.degree = a.field.discretisation.degree;
  field.points = a.field.discretisation.points;
  field.cells = a.field.discretisation.cells;
  for (int region : a.field.mesh.region) {
    field.cell_board.push_back(0);
    field.cell_material.push_back(region + 1);
  }
  std::vector<std::string> names;
  for (const AirRegion &r : a.air.regions) names.push_back(r.name);
  write_pressures_vtu(path, field, shapes, names);
}

}  // namespace stillbox
