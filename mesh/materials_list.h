// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_reader.h"
#include "mesh/material.h"

namespace stillbox {

/// Materials by name; a material of the case file hides a built-in one of the same name.
struct MaterialsList {
  std::vector<Material> materials;
  const Material *find(const std::string &name) const;
  std::vector<std::string> names() const;
};

/// Reads the tables [material.NAME] of `built_in` and `own` (null: none), in SI units, for a case at `temperature`
/// (degrees C). `based_on` is followed through both. Every law is checked to be positive definite, every table of a
/// complex modulus to apply at this temperature; problems are reported where the file says it.
MaterialsList read_materials(const Node *built_in, const Node *own, double temperature, Problems &problems);

}  // namespace stillbox
