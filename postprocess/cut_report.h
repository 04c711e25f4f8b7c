// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/cut_list.h"

namespace stillbox {

/// The size a board is sold in, m.
struct StockSize {
  double length = 2.44, width = 1.22;  ///< a common size: typical, from memory
  double area() const { return length * width; }
};

/// Parts and stock as tables of at most 110 columns, with notes and cautions. Parts alike stand on one line, but those
/// with cut-outs, which may be mirrored, on their own.
std::string cut_text(const std::string &case_name, const Structure &variant, const CutList &list,
                     const StockSize &size);

/// One row per part (RFC 4180): variant, part, use, layer, material, length_mm, width_mm, thickness_mm, grain, mass_kg,
/// area_m2, cut_outs, joints.
std::string cut_csv(const std::vector<const Structure *> &variants, const std::vector<CutList> &lists);

/// The same as JSON, with stock and cautions:
///   schema "stillbox cut 1"; case; units; sheet {length_mm, width_mm}; variants[] {name, mass_kg, fittings_kg,
///   parts[], stock[]}; parts[] {part, use, material, layer (from 1), layers, length_mm, width_mm, thickness_mm, grain,
///   mass_kg, area_m2, cut_outs[] {name, shape, centre_mm [from the board's low corner], size_mm}, joints[]}, of solids
///   also edges[] {from_mm, to_mm [on the face where it is longer], length_mm, saw_deg [from square], longer_at, kind,
///   depth_mm, with} and bent {radius_outside_mm, flat_outer_mm, flat_middle_mm, flat_inner_mm, tube} or null; stock[]
///   {material, thickness_mm, parts, area_m2, mass_kg, sheets (area over that of a sheet), fits}; cautions[]
std::string cut_json(const std::string &case_name, const std::vector<const Structure *> &variants,
                     const std::vector<CutList> &lists, const StockSize &size);

}  // namespace stillbox
