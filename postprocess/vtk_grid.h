// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

class vtkUnstructuredGrid;

namespace stillbox {

/// Writes a grid as .vtu (VTK XML, appended, zlib-compressed binary) with these lines as the field data "about".
/// Errors: OutputError.
void write_vtu(const std::string &path, vtkUnstructuredGrid *grid, const std::vector<std::string> &about);

}  // namespace stillbox
