// SPDX-License-Identifier: MIT
#include <fmt/format.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkFloatArray.h>
#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPoints.h>
#include <vtkUnstructuredGrid.h>

#include <functional>

#include "postprocess/drive_bands.h"
#include "postprocess/drive_files.h"
#include "postprocess/vtk_grid.h"

namespace stillbox {
namespace {

void add_surface_values(vtkUnstructuredGrid *grid, const char *name, int count,
                        const std::function<double(int)> &value) {
  vtkNew<vtkFloatArray> array;
  array->SetName(name);
  for (int e = 0; e < count; ++e) array->InsertNextValue(static_cast<float>(value(e)));
  grid->GetCellData()->AddArray(array);
}

}  // namespace

void write_drive_surface(const std::string &path, const DriveSolution &s, const DriveSurface &surface) {
  vtkNew<vtkUnstructuredGrid> grid;
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  const auto &nodes = s.surface.nodes;
  for (Eigen::Index i = 0; i < nodes.rows(); ++i) points->InsertNextPoint(nodes(i, 0), nodes(i, 1), nodes(i, 2));
  grid->SetPoints(points);
  const int count = int(s.surface.elements.size());
  for (const auto &element : s.surface.elements) {
    vtkNew<vtkIdList> corners;
    for (int node : element) corners->InsertNextId(node);
    grid->InsertNextCell(VTK_QUAD, corners);
  }
  const auto &v = surface.velocity;
  const auto &p = surface.pressure;
  add_surface_values(grid, "velocity re", count, [&](int e) { return v[e].real(); });
  add_surface_values(grid, "velocity im", count, [&](int e) { return v[e].imag(); });
  add_surface_values(grid, "pressure re", count, [&](int e) { return p[e].real(); });
  add_surface_values(grid, "pressure im", count, [&](int e) { return p[e].imag(); });
  add_surface_values(grid, "velocity level dB re 1 nm/s", count,
                     [&](int e) { return level_difference(std::max(std::abs(v[e]), 1e-12), 1e-9); });
  add_surface_values(grid, "wall", count, [&](int e) { return s.surface.wall[e]; });
  write_vtu(path, grid,
            {"case: " + s.case_name, "variant: " + s.variant_name, fmt::format("at {:.6g} Hz", surface.frequency),
             "velocity m/s outwards, pressure Pa, rms, to exp(+i w t)", "a prediction, not a measurement"});
}

}  // namespace stillbox
