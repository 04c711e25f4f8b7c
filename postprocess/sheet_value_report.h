// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/sheet_value.h"

namespace stillbox {

/// One variant as plain text, no line wider than table_width: what is laid and on which modes; every face by falling
/// added loss per kg of a sheet over all of it; the best square decimetres by falling added loss. Loss factors in
/// thousandths, places in mm as a case file gives them.
std::string sheet_value_table(const SheetValue &value);

/// What the figures leave out, and what this does not rank. Said once for all variants.
std::string sheet_value_cautions(const std::vector<SheetValue> &variants);

/// All variants as CSV (RFC 4180, with a heading): for each face a row of the mean over the modes (mode "mean"), then
/// one row a mode. Loss factors as such, not in thousandths.
std::string sheet_value_csv(const std::vector<SheetValue> &variants);

/// The unfolded cabinet (free boards side by side), and below it the faces of the braces, with the added loss per
/// square decimetre in five coloured bands and each face's best square outlined. The best of all is drawn stronger. The
/// inner faces are drawn as seen from outside, through the wall. The top of the scale is the value that 1 % of the wood
/// lies above, as the strain grows without bound in the inner corner of a joint. Valid XML with title and description.
std::string sheet_value_picture(const Structure &structure, const SheetValue &value);

}  // namespace stillbox
