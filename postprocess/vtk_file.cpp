// SPDX-License-Identifier: MIT
#include "postprocess/vtk_file.h"

#include <fmt/format.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkDoubleArray.h>
#include <vtkFieldData.h>
#include <vtkFloatArray.h>
#include <vtkIdList.h>
#include <vtkIntArray.h>
#include <vtkLagrangeHexahedron.h>
#include <vtkLagrangeTetra.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkStringArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLUnstructuredGridWriter.h>

#include <cassert>
#include <cmath>

#include "postprocess/safe_file.h"
#include "postprocess/text.h"
#include "postprocess/vtk_grid.h"

namespace stillbox {
namespace {

/// Our place of a node in the cell -> VTK's place: corners, edges, faces, inside.
std::vector<vtkIdType> vtk_places(int degree) {
  const int order[3] = {degree, degree, degree};
  std::vector<vtkIdType> places;
  for (int k = 0; k <= degree; ++k) {
    for (int j = 0; j <= degree; ++j) {
      for (int i = 0; i <= degree; ++i) places.push_back(vtkHigherOrderHexahedron::PointIndexFromIJK(i, j, k, order));
    }
  }
  return places;
}

/// The same for tetrahedra whose nodes lie at `reference` in the unit cell.
std::vector<vtkIdType> tetrahedron_places(int degree, const Eigen::Matrix<double, Eigen::Dynamic, 3> &reference) {
  vtkNew<vtkLagrangeTetra> cell;
  cell->GetPointIds()->SetNumberOfIds(reference.rows());
  cell->GetPoints()->SetNumberOfPoints(reference.rows());
  cell->Initialize();  // sets the order from the number of points
  std::vector<vtkIdType> places;
  for (Eigen::Index n = 0; n < reference.rows(); ++n) {
    vtkIdType index[4] = {};
    for (int k = 0; k < 3; ++k) index[k] = std::lround(degree * reference(n, k));
    index[3] = degree - index[0] - index[1] - index[2];
    places.push_back(cell->ToIndex(index));
  }
  return places;
}

void add_strings(vtkUnstructuredGrid *grid, const char *name, const std::vector<std::string> &values) {
  if (values.empty()) return;
  vtkNew<vtkStringArray> array;
  array->SetName(name);
  for (const std::string &value : values) array->InsertNextValue(clean_text(value));
  grid->GetFieldData()->AddArray(array);
}

void add_cell_numbers(vtkUnstructuredGrid *grid, const char *name, const std::vector<int> &values) {
  assert(static_cast<vtkIdType>(values.size()) == grid->GetNumberOfCells());
  vtkNew<vtkIntArray> array;
  array->SetName(name);
  for (const int value : values) array->InsertNextValue(value);
  grid->GetCellData()->AddArray(array);
}

void add_numbers(vtkUnstructuredGrid *grid, const char *name, const std::vector<double> &values) {
  vtkNew<vtkDoubleArray> array;
  array->SetName(name);
  for (const double value : values) array->InsertNextValue(value);
  grid->GetFieldData()->AddArray(array);
}

vtkNew<vtkUnstructuredGrid> make_grid(const ModalField &field) {
  vtkNew<vtkUnstructuredGrid> grid;
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  points->SetNumberOfPoints(field.points.rows());
  for (Eigen::Index p = 0; p < field.points.rows(); ++p) {
    points->SetPoint(p, field.points(p, 0), field.points(p, 1), field.points(p, 2));
  }
  grid->SetPoints(points);

  const bool tetrahedra = field.tetrahedron.rows() > 0;
  const std::vector<vtkIdType> places =
      tetrahedra ? tetrahedron_places(field.degree, field.tetrahedron) : vtk_places(field.degree);
  // The quadratic one is the same in both families, and more programs know it.
  const int type = !tetrahedra         ? VTK_LAGRANGE_HEXAHEDRON
                   : field.degree == 2 ? VTK_QUADRATIC_TETRA
                                       : VTK_LAGRANGE_TETRAHEDRON;
  vtkNew<vtkIdList> nodes;
  nodes->SetNumberOfIds(static_cast<vtkIdType>(places.size()));
  for (const std::vector<int> &cell : field.cells) {
    assert(cell.size() == places.size());
    for (std::size_t n = 0; n < places.size(); ++n) nodes->SetId(places[n], cell[n]);
    grid->InsertNextCell(type, nodes);
  }
  add_cell_numbers(grid, "board", field.cell_board);
  add_cell_numbers(grid, "material", field.cell_material);
  return grid;
}

/// Adds one shape with largest length 1; returns the factor it was multiplied with.
double add_shape(vtkUnstructuredGrid *grid, const std::string &name,
                 const Eigen::Matrix<double, Eigen::Dynamic, 3> &shape) {
  assert(shape.rows() == grid->GetNumberOfPoints());
  const double largest = shape.rows() > 0 ? shape.rowwise().norm().maxCoeff() : 0.0;
  const double scale = largest > 0 ? 1 / largest : 1.0;
  vtkNew<vtkFloatArray> array;
  array->SetName(name.c_str());
  array->SetNumberOfComponents(3);
  array->SetNumberOfTuples(shape.rows());
  for (Eigen::Index p = 0; p < shape.rows(); ++p) {
    for (int c = 0; c < 3; ++c) array->SetTypedComponent(p, c, static_cast<float>(scale * shape(p, c)));
  }
  grid->GetPointData()->AddArray(array);
  return scale;
}

void write_grid(const std::string &path, vtkUnstructuredGrid *grid) {
  // Through memory, so that every failure of the disk is seen and nothing half-written is left at `path`.
  vtkNew<vtkXMLUnstructuredGridWriter> writer;
  writer->SetInputData(grid);
  writer->SetDataModeToAppended();
  writer->EncodeAppendedDataOff();
  writer->SetCompressorTypeToZLib();
  writer->WriteToOutputStringOn();
  if (writer->Write() != 1) throw OutputError(path, "the VTK writer failed");
  write_file(path, writer->GetOutputString());
}

std::vector<std::string> board_names(const ModalResult &result) {
  std::vector<std::string> names;
  for (const BoardSummary &board : result.boards) names.push_back(board.name);
  return names;
}

}  // namespace

void write_vtu(const std::string &path, vtkUnstructuredGrid *grid, const std::vector<std::string> &about) {
  add_strings(grid, "about", about);
  write_grid(path, grid);
}

std::string shape_name(int number, double frequency) { return fmt::format("mode {:02} {:.1f} Hz", number, frequency); }

void write_modes_vtu(const std::string &path, const ModalResult &result,
                     const std::vector<std::string> &material_names) {
  assert(result.field.shapes.size() == result.modes.size());
  const vtkNew<vtkUnstructuredGrid> grid = make_grid(result.field);
  std::vector<double> frequencies, scales;
  for (std::size_t m = 0; m < result.modes.size(); ++m) {
    frequencies.push_back(result.modes[m].frequency);
    scales.push_back(add_shape(grid, shape_name(static_cast<int>(m) + 1, frequencies.back()), result.field.shapes[m]));
  }
  add_strings(grid, "board names", board_names(result));
  add_strings(grid, "material names", material_names);
  add_numbers(grid, "mode frequency Hz", frequencies);
  add_numbers(grid, "shape scale", scales);
  add_strings(grid, "about",
              {"case: " + result.case_name, "variant: " + result.variant_name,
               "each shape is scaled so that its largest displacement is 1; real ones are micrometres",
               "a prediction, not a measurement"});
  write_grid(path, grid);
}

void write_mesh_vtu(const std::string &path, const ModalField &field, const std::vector<std::string> &board_names,
                    const std::vector<std::string> &material_names) {
  const vtkNew<vtkUnstructuredGrid> grid = make_grid(field);
  add_strings(grid, "board names", board_names);
  add_strings(grid, "material names", material_names);
  write_grid(path, grid);
}

void write_pressures_vtu(const std::string &path, const ModalField &field, const std::vector<PressureShape> &shapes,
                         const std::vector<std::string> &material_names) {
  const vtkNew<vtkUnstructuredGrid> grid = make_grid(field);
  for (const PressureShape &shape : shapes) {
    assert(shape.values.size() == grid->GetNumberOfPoints());
    const double largest = shape.values.size() > 0 ? shape.values.cwiseAbs().maxCoeff() : 0.0;
    vtkNew<vtkFloatArray> array;
    array->SetName(clean_text(shape.name).c_str());
    array->SetNumberOfTuples(shape.values.size());
    for (Eigen::Index p = 0; p < shape.values.size(); ++p)
      array->SetValue(p, float(largest > 0 ? shape.values[p] / largest : 0.0));
    grid->GetPointData()->AddArray(array);
  }
  add_strings(grid, "material names", material_names);
  write_grid(path, grid);
}

void write_collection_pvd(const std::string &path, const std::vector<VtkPart> &parts) {
  std::string out =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<VTKFile type=\"Collection\" version=\"0.1\" byte_order=\"LittleEndian\">\n"
      "  <Collection>\n";
  for (std::size_t p = 0; p < parts.size(); ++p) {
    out += fmt::format("    <DataSet timestep=\"{}\" group=\"\" part=\"0\" name=\"{}\" file=\"{}\"/>\n", p,
                       escape_xml(parts[p].name), escape_xml(parts[p].file));
  }
  write_file(path, out + "  </Collection>\n</VTKFile>\n");
}

}  // namespace stillbox
