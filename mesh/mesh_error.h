// SPDX-License-Identifier: MIT
#pragma once
#include <stdexcept>

namespace stillbox {

/// A structure that cannot be meshed; the text says which board and why.
struct MeshError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

}  // namespace stillbox
