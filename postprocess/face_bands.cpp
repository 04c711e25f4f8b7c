// SPDX-License-Identifier: MIT
#include "postprocess/face_bands.h"

#include <vtkBandedPolyDataContourFilter.h>
#include <vtkCellArray.h>
#include <vtkCellData.h>
#include <vtkClipPolyData.h>
#include <vtkContourFilter.h>
#include <vtkDataArray.h>
#include <vtkDataObject.h>
#include <vtkDoubleArray.h>
#include <vtkIdList.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkPoints.h>
#include <vtkPolyData.h>
#include <vtkSmartPointer.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <map>

namespace stillbox {
namespace {

void add_array(vtkPolyData *surface, const char *name, const std::vector<double> &values) {
  vtkNew<vtkDoubleArray> array;
  array->SetName(name);
  array->SetNumberOfValues(static_cast<vtkIdType>(values.size()));
  for (std::size_t k = 0; k < values.size(); ++k) array->SetValue(static_cast<vtkIdType>(k), values[k]);
  surface->GetPointData()->AddArray(array);
}

/// The grid as triangles, with diagonals that alternate so that none of the two directions is preferred.
vtkSmartPointer<vtkPolyData> triangles(const FaceGrid &grid) {
  vtkNew<vtkPoints> points;
  points->SetDataTypeToDouble();
  for (int j = 0; j < grid.nv; ++j) {
    for (int i = 0; i < grid.nu; ++i) {
      points->InsertNextPoint(grid.size[0] * i / (grid.nu - 1), grid.size[1] * j / (grid.nv - 1), 0);
    }
  }
  vtkNew<vtkCellArray> cells;
  const auto add = [&](vtkIdType a, vtkIdType b, vtkIdType c) { cells->InsertNextCell({a, b, c}); };
  for (int j = 0; j + 1 < grid.nv; ++j) {
    for (int i = 0; i + 1 < grid.nu; ++i) {
      const vtkIdType a = i + static_cast<vtkIdType>(j) * grid.nu, b = a + 1, c = b + grid.nu, d = a + grid.nu;
      if ((i + j) % 2 == 0) {
        add(a, b, c);
        add(a, c, d);
      } else {
        add(a, b, d);
        add(b, c, d);
      }
    }
  }
  auto surface = vtkSmartPointer<vtkPolyData>::New();
  surface->SetPoints(points);
  surface->SetPolys(cells);
  add_array(surface, "value", grid.value);
  if (grid.wood.empty()) return surface;

  add_array(surface, "wood", grid.wood);
  surface->GetPointData()->SetActiveScalars("wood");
  vtkNew<vtkClipPolyData> clip;
  clip->SetInputData(surface);
  clip->SetValue(0);
  clip->Update();
  return clip->GetOutput();
}

Eigen::Vector2d point_of(vtkPolyData *surface, vtkIdType id) {
  std::array<double, 3> p{};
  surface->GetPoint(id, p.data());
  return {p[0], p[1]};
}

/// The rim of a set of polygons: edges that an odd number of them use.
struct Rim {
  std::map<std::pair<int, int>, int> edges;
  void add(const std::vector<int> &polygon) {
    for (std::size_t k = 0; k < polygon.size(); ++k) {
      const int a = polygon[k], b = polygon[(k + 1) % polygon.size()];
      if (a != b) ++edges[{std::min(a, b), std::max(a, b)}];
    }
  }
  std::vector<std::vector<int>> rings() const {
    std::vector<std::pair<int, int>> odd;
    for (const auto &[edge, count] : edges) {
      if (count % 2 == 1) odd.push_back(edge);
    }
    return chain_segments(odd);
  }
};

Polyline line_of(vtkPolyData *surface, const std::vector<int> &chain) {
  Polyline line;
  for (const int id : chain) line.push_back(point_of(surface, id));
  return line;
}

void add_bands(vtkPolyData *surface, FaceBands &out) {
  surface->GetPointData()->SetActiveScalars("value");
  vtkNew<vtkBandedPolyDataContourFilter> filter;
  filter->SetInputData(surface);
  filter->SetNumberOfContours(band_count + 1);
  for (int k = 0; k <= band_count; ++k) filter->SetValue(k, band_edges[static_cast<std::size_t>(k)]);
  filter->SetScalarModeToIndex();
  filter->Update();
  vtkPolyData *bands = filter->GetOutput();
  vtkDataArray *index = bands->GetCellData()->GetScalars();

  std::array<Rim, band_count> rims;
  vtkNew<vtkIdList> ids;
  for (vtkIdType cell = 0; cell < bands->GetNumberOfCells(); ++cell) {
    bands->GetCellPoints(cell, ids);
    if (ids->GetNumberOfIds() < 3) continue;
    const int band = std::clamp(static_cast<int>(index->GetTuple1(cell)), 0, band_count - 1);
    std::vector<int> polygon;
    for (vtkIdType k = 0; k < ids->GetNumberOfIds(); ++k) polygon.push_back(static_cast<int>(ids->GetId(k)));
    Polyline ring = line_of(bands, polygon);
    ring.push_back(ring.front());
    out.area[static_cast<std::size_t>(band)] += std::abs(ring_area(ring));

    rims[middle_band].add(polygon);
    for (int b = 0; b < middle_band; ++b) {
      if (band <= b) rims[static_cast<std::size_t>(b)].add(polygon);
    }
    for (int b = middle_band + 1; b < band_count; ++b) {
      if (band >= b) rims[static_cast<std::size_t>(b)].add(polygon);
    }
  }
  for (std::size_t b = 0; b < band_count; ++b) {
    for (const std::vector<int> &ring : rims[b].rings()) out.regions[b].push_back(line_of(bands, ring));
  }
}

/// Largest movement of one sign that is met when leaving `from` along `direction` or half a right angle beside it.
double reached(const FaceGrid &grid, const Eigen::Vector2d &from, const Eigen::Vector2d &direction, double sign) {
  const double reach = 0.15 * grid.size.minCoeff();
  double most = 0;
  for (const double angle : {-0.25, 0.0, 0.25}) {
    const Eigen::Vector2d ray = Eigen::Rotation2Dd(angle * 3.14159265358979323846) * direction;
    for (const double part : {1.0 / 3, 2.0 / 3, 1.0}) {
      const double value = value_at(grid, from + part * reach * ray);
      if (std::isfinite(value)) most = std::max(most, sign * value);
    }
  }
  return most;
}

/// Whether the piece of nodal line from a to b parts wood that moves one way from wood that moves the other way.
bool stands_out(const FaceGrid &grid, const Eigen::Vector2d &a, const Eigen::Vector2d &b) {
  if (a == b) return true;
  const Eigen::Vector2d middle = 0.5 * (a + b), across = Eigen::Vector2d(a.y() - b.y(), b.x() - a.x()).normalized();
  for (const double sign : {1.0, -1.0}) {
    if (reached(grid, middle, across, sign) >= nodal_prominence &&
        reached(grid, middle, -across, -sign) >= nodal_prominence) {
      return true;
    }
  }
  return false;
}

void add_nodal_lines(vtkPolyData *surface, const FaceGrid &grid, FaceBands &out) {
  vtkNew<vtkContourFilter> filter;
  filter->SetInputData(surface);
  filter->SetInputArrayToProcess(0, 0, 0, vtkDataObject::FIELD_ASSOCIATION_POINTS, "value");
  filter->SetValue(0, 0);
  filter->Update();
  vtkPolyData *lines = filter->GetOutput();
  std::vector<std::pair<int, int>> segments;
  vtkNew<vtkIdList> ids;
  for (vtkIdType cell = 0; cell < lines->GetNumberOfCells(); ++cell) {
    lines->GetCellPoints(cell, ids);
    for (vtkIdType k = 0; k + 1 < ids->GetNumberOfIds(); ++k) {
      const vtkIdType a = ids->GetId(k), b = ids->GetId(k + 1);
      if (stands_out(grid, point_of(lines, a), point_of(lines, b))) {
        segments.emplace_back(static_cast<int>(a), static_cast<int>(b));
      }
    }
  }
  for (const std::vector<int> &chain : chain_segments(segments)) out.nodal_lines.push_back(line_of(lines, chain));
}

}  // namespace

FaceBands face_bands(const FaceGrid &grid) {
  FaceBands out;
  const vtkSmartPointer<vtkPolyData> surface = triangles(grid);
  if (surface->GetNumberOfCells() == 0) return out;
  add_bands(surface, out);
  add_nodal_lines(surface, grid, out);
  return out;
}

}  // namespace stillbox
