// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// Writes the mesh and all mode shapes of a variant to one .vtu file (VTK XML, appended, zlib-compressed binary):
///  - curved Lagrange hexahedra (cell type 72) of the field's degree (1 .. 10), or tetrahedra (24 of degree 2, 71
///  above),
///    neighbours sharing their points, in m;
///  - per mode a point array "mode 01 412.3 Hz": displacement along x, y, z, scaled so that its largest length is 1.
///  Real
///    amplitudes are micrometres; choose a scale factor in the viewer. The array "shape scale" holds the scales: divide
///    by it to get back the mass-normalised shape, in kg^(-1/2);
///  - cell arrays "board" and "material": indices into the field data "board names" and "material names";
///  - field data "mode frequency Hz" and "about".
/// `material_names` may be empty. Errors: OutputError.
void write_modes_vtu(const std::string &path, const ModalResult &result,
                     const std::vector<std::string> &material_names = {});

/// The same without shapes, to look at the mesh before solving.
void write_mesh_vtu(const std::string &path, const ModalField &field, const std::vector<std::string> &board_names,
                    const std::vector<std::string> &material_names = {});

/// A pressure over the nodes of a mesh.
struct PressureShape {
  std::string name;
  Eigen::VectorXd values;
};

/// Writes a mesh with scalar point arrays, each scaled so that its largest value is 1. `material_names`: what
/// cell_material counts. Errors: OutputError.
void write_pressures_vtu(const std::string &path, const ModalField &field, const std::vector<PressureShape> &shapes,
                         const std::vector<std::string> &material_names);

/// Name of the array of mode `number` (from 1).
std::string shape_name(int number, double frequency);

struct VtkPart {
  std::string file;  ///< relative to the collection's folder
  std::string name;  ///< of the variant
};

/// Writes a .pvd collection: one step per file, in order, with the variant's name. Errors: OutputError.
void write_collection_pvd(const std::string &path, const std::vector<VtkPart> &parts);

}  // namespace stillbox
