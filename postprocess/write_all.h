// SPDX-License-Identifier: MIT
#pragma once
#include <string_view>

namespace stillbox {

/// Writes all bytes to a file or pipe, however often the system stops in between; 0 or the system's error number.
int write_all(int descriptor, std::string_view bytes);

}  // namespace stillbox
