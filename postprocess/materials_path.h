// SPDX-License-Identifier: MIT
#pragma once
#include <string>

namespace stillbox {

/// Where the built-in materials are: the file named by the environment variable STILLBOX_MATERIALS when it is set, else
/// share/stillbox/materials.toml beside the program (a build folder), beside the program's folder (an installed or
/// unpacked tree) or under the prefix it was built for. Errors: CaseError that names the places, when there is none.
std::string materials_path();

}  // namespace stillbox
