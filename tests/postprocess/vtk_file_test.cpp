// SPDX-License-Identifier: MIT
#include "postprocess/vtk_file.h"

#include <gtest/gtest.h>
#include <vtkCell.h>
#include <vtkCellData.h>
#include <vtkCellType.h>
#include <vtkDataArray.h>
#include <vtkFieldData.h>
#include <vtkNew.h>
#include <vtkPointData.h>
#include <vtkStringArray.h>
#include <vtkUnstructuredGrid.h>
#include <vtkXMLDataElement.h>
#include <vtkXMLDataParser.h>
#include <vtkXMLUnstructuredGridReader.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>

#include "postprocess/safe_file.h"
#include "tests/mesh/bytes_in.h"
#include "tests/postprocess/empty_folder.h"
#include "tests/postprocess/sample_results.h"

namespace stillbox {
namespace {

namespace fs = std::filesystem;

/// A cubic vector field that tells all directions apart.
Eigen::Vector3d cubic(const Eigen::Vector3d &p) {
  const double x = 10 * p.x(), y = 10 * p.y(), z = 10 * p.z();
  return {x * x * x + 2 * y * z + 0.3, y * y * y - x * y + 0.5 * z, z * z * z + x * y * z - 0.7 * y};
}

/// Two cells side by side along x, sheared, sharing a face; evenly spaced nodes. Straight edges, so the map from the
/// parametric coordinates is trilinear and a cubic field over parametric coordinates is exact.
ModalField two_cells(int degree) {
  ModalField field;
  field.degree = degree;
  const int n = degree;
  std::map<std::array<int, 3>, int> numbers;
  std::vector<Eigen::Vector3d> points;
  for (int cell = 0; cell < 2; ++cell) {
    std::vector<int> nodes;
    for (int k = 0; k <= n; ++k) {
      for (int j = 0; j <= n; ++j) {
        for (int i = 0; i <= n; ++i) {
          const std::array<int, 3> key{i + cell * n, j, k};
          const auto [it, fresh] = numbers.emplace(key, static_cast<int>(points.size()));
          if (fresh) {
            const double a = 0.1 * key[0] / n, b = 0.07 * j / n, c = 0.05 * k / n;
            points.emplace_back(a + 0.2 * b, b, c + 0.1 * a);
          }
          nodes.push_back(it->second);
        }
      }
    }
    field.cells.push_back(nodes);
    field.cell_board.push_back(cell);
    field.cell_material.push_back(1 - cell);
  }
  field.points.resize(static_cast<Eigen::Index>(points.size()), 3);
  for (std::size_t p = 0; p < points.size(); ++p) field.points.row(static_cast<Eigen::Index>(p)) = points[p];
  return field;
}

ModalResult two_cell_result(int degree) {
  ModalResult result;
  result.case_name = "two cells <test>";
  result.boards = {{"one", "free", "mdf", 1, 1}, {"two & more", "free", "mdf", 1, 1}};
  result.field = two_cells(degree);
  result.modes = {test::make_mode(412.34, ""), test::make_mode(600, "")};
  Eigen::Matrix<double, Eigen::Dynamic, 3> shape(result.field.points.rows(), 3);
  for (Eigen::Index p = 0; p < shape.rows(); ++p) shape.row(p) = cubic(result.field.points.row(p));
  result.field.shapes = {shape, 1e-3 * shape};
  return result;
}

struct VtkFile : EmptyFolder {
  vtkNew<vtkXMLUnstructuredGridReader> reader;
  vtkUnstructuredGrid *read(const std::string &path) {
    reader->SetFileName(path.c_str());
    reader->Update();
    return reader->GetOutput();
  }
};

/// Interpolates inside the cells at points off all nodes: only a right node order gives the polynomial back.
TEST_F(VtkFile, ShapeReadsBackInsideTheCells) {
  for (const int degree : {3, 4, 5}) {
    const ModalResult result = two_cell_result(degree);
    const std::string path = (folder / "two.vtu").string();
    write_modes_vtu(path, result);
    vtkNew<vtkXMLUnstructuredGridReader> fresh;
    fresh->SetFileName(path.c_str());
    fresh->Update();
    vtkUnstructuredGrid *grid = fresh->GetOutput();
    ASSERT_EQ(grid->GetNumberOfCells(), 2);
    vtkDataArray *shape = grid->GetPointData()->GetArray("mode 01 412.3 Hz");
    ASSERT_NE(shape, nullptr);
    const double scale = grid->GetFieldData()->GetArray("shape scale")->GetTuple1(0);

    for (vtkIdType c = 0; c < 2; ++c) {
      vtkCell *cell = grid->GetCell(c);
      ASSERT_EQ(cell->GetCellType(), 72);
      ASSERT_EQ(cell->GetNumberOfPoints(), (degree + 1) * (degree + 1) * (degree + 1));
      std::vector<double> weights(static_cast<std::size_t>(cell->GetNumberOfPoints()));
      for (const std::array<double, 3> at :
           {std::array<double, 3>{0.13, 0.71, 0.37}, {0.9, 0.05, 0.55}, {0.4, 0.45, 0.95}}) {
        int sub = 0;
        std::array<double, 3> where{};
        cell->EvaluateLocation(sub, at.data(), where.data(), weights.data());
        Eigen::Vector3d found = Eigen::Vector3d::Zero();
        for (vtkIdType n = 0; n < cell->GetNumberOfPoints(); ++n) {
          for (int d = 0; d < 3; ++d) {
            found[d] += weights[static_cast<std::size_t>(n)] * shape->GetComponent(cell->GetPointId(n), d);
          }
        }
        const double a = 0.1 * (at[0] + static_cast<double>(c)), b = 0.07 * at[1], z = 0.05 * at[2];
        const Eigen::Vector3d expected_place(a + 0.2 * b, b, z + 0.1 * a);
        EXPECT_LT((Eigen::Vector3d(where[0], where[1], where[2]) - expected_place).norm(), 1e-9);
        EXPECT_LT((found / scale - cubic(expected_place)).norm(), 1e-5 * cubic(expected_place).norm() + 1e-5);
      }
    }
  }
}

TEST_F(VtkFile, PointsAreSharedAndIdsKept) {
  const ModalResult result = two_cell_result(3);
  const std::string path = (folder / "two.vtu").string();
  write_modes_vtu(path, result, {"mdf", "ply"});
  vtkUnstructuredGrid *grid = read(path);
  EXPECT_EQ(grid->GetNumberOfPoints(), 7 * 4 * 4);
  vtkDataArray *board = grid->GetCellData()->GetArray("board"), *material = grid->GetCellData()->GetArray("material");
  ASSERT_NE(board, nullptr);
  ASSERT_NE(material, nullptr);
  EXPECT_EQ(board->GetTuple1(1), 1);
  EXPECT_EQ(material->GetTuple1(1), 0);
  auto *names = vtkStringArray::SafeDownCast(grid->GetFieldData()->GetAbstractArray("board names"));
  ASSERT_NE(names, nullptr);
  ASSERT_EQ(names->GetNumberOfValues(), 2);
  EXPECT_EQ(names->GetValue(1), "two & more");
  auto *materials = vtkStringArray::SafeDownCast(grid->GetFieldData()->GetAbstractArray("material names"));
  ASSERT_NE(materials, nullptr);
  EXPECT_EQ(materials->GetValue(1), "ply");
  EXPECT_NEAR(grid->GetFieldData()->GetArray("mode frequency Hz")->GetTuple1(0), 412.34, 1e-9);
}

TEST_F(VtkFile, LargestDisplacementIsOne) {
  const std::string path = (folder / "two.vtu").string();
  write_modes_vtu(path, two_cell_result(3));
  vtkUnstructuredGrid *grid = read(path);
  ASSERT_EQ(grid->GetPointData()->GetNumberOfArrays(), 2);
  for (const char *name : {"mode 01 412.3 Hz", "mode 02 600.0 Hz"}) {
    vtkDataArray *shape = grid->GetPointData()->GetArray(name);
    ASSERT_NE(shape, nullptr);
    EXPECT_EQ(shape->GetDataType(), VTK_FLOAT);
    double most = 0;
    for (vtkIdType p = 0; p < shape->GetNumberOfTuples(); ++p) {
      const double *w = shape->GetTuple3(p);
      most = std::max(most, std::sqrt(w[0] * w[0] + w[1] * w[1] + w[2] * w[2]));
    }
    EXPECT_NEAR(most, 1, 1e-6);
  }
}

TEST_F(VtkFile, MeshAloneHasNoShapes) {
  const std::string path = (folder / "mesh.vtu").string();
  write_mesh_vtu(path, two_cells(2), {"one", "two"});
  vtkUnstructuredGrid *grid = read(path);
  EXPECT_EQ(grid->GetNumberOfCells(), 2);
  EXPECT_EQ(grid->GetCell(0)->GetNumberOfPoints(), 27);
  EXPECT_EQ(grid->GetPointData()->GetNumberOfArrays(), 0);
}

TEST_F(VtkFile, WritesTheSameBytesTwice) {
  const auto bytes = [&](const char *name) {
    const fs::path path = folder / name;
    write_modes_vtu(path.string(), two_cell_result(3));
    return bytes_in(path);
  };
  const std::string first = bytes("a.vtu");
  EXPECT_GT(first.size(), 1000u);
  EXPECT_TRUE(first == bytes("b.vtu"));
  EXPECT_EQ(std::distance(fs::directory_iterator(folder), fs::directory_iterator()), 2);
  EXPECT_THROW(write_modes_vtu((folder / "none" / "a.vtu").string(), two_cell_result(3)), OutputError);
}

TEST_F(VtkFile, CollectionNamesItsParts) {
  const std::string path = (folder / "all.pvd").string();
  write_collection_pvd(path, {{"bare.vtu", "bare"}, {"brace.vtu", "brace <a> & \"b\""}});
  vtkNew<vtkXMLDataParser> parser;
  parser->SetFileName(path.c_str());
  ASSERT_EQ(parser->Parse(), 1);
  vtkXMLDataElement *collection = parser->GetRootElement()->FindNestedElementWithName("Collection");
  ASSERT_NE(collection, nullptr);
  ASSERT_EQ(collection->GetNumberOfNestedElements(), 2);
  EXPECT_STREQ(collection->GetNestedElement(1)->GetAttribute("file"), "brace.vtu");
  EXPECT_STREQ(collection->GetNestedElement(1)->GetAttribute("name"), "brace <a> & \"b\"");
}

}  // namespace
}  // namespace stillbox
