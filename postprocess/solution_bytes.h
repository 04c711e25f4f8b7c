// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "solver/air_solution.h"
#include "solver/drive_solve.h"
#include "solver/knock_solve.h"
#include "solver/sheet_value.h"

namespace stillbox {

/// A variant's solution as bytes for another process of this program (Boost.Serialization's binary form: for this
/// machine and this version only), and back, bit for bit. Of an AirSolution the field and the regions' fluids are left
/// out. Errors: runtime_error when the bytes are not whole.
std::string bytes_of(const ModalResult &solution);
std::string bytes_of(const KnockSolution &solution);
std::string bytes_of(const SheetValue &solution);
std::string bytes_of(const AirSolution &solution);
std::string bytes_of(const DriveSolution &solution);
void from_bytes(const std::string &bytes, ModalResult &solution);
void from_bytes(const std::string &bytes, KnockSolution &solution);
void from_bytes(const std::string &bytes, SheetValue &solution);
void from_bytes(const std::string &bytes, AirSolution &solution);
void from_bytes(const std::string &bytes, DriveSolution &solution);

}  // namespace stillbox
