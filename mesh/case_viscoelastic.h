// SPDX-License-Identifier: MIT
#pragma once
#include <optional>

#include "mesh/case_reader.h"
#include "mesh/viscoelastic.h"

namespace stillbox {

struct ComplexModulus {
  Viscoelastic table;
  double law_at = 0;        ///< Hz: where the material's one stress law is taken from the table
  ViscoelasticPoint there;  ///< the table at this frequency and the case's temperature
};

/// Reads [material.NAME.complex_modulus] for a case at `temperature` (degrees C). `law_at` is law_at_hz when the file
/// gives it (it must then lie inside the table, unless that is held), otherwise its default brought into the table's
/// range. Nothing after a problem, which is reported.
std::optional<ComplexModulus> read_complex_modulus(const Reader &r, double temperature);

}  // namespace stillbox
