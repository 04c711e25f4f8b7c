// SPDX-License-Identifier: MIT
#pragma once
#include <petscmat.h>

#include <string>

#include "solver/discretisation.h"

// For the sources that call PETSc and SLEPc only.

namespace stillbox {

/// An object of PETSc or SLEPc that goes with this one.
template <typename Object, PetscErrorCode (*destroy)(Object *)>
struct Held {
  Object object = nullptr;
  Held() = default;
  ~Held() { destroy(&object); }
  Held(const Held &) = delete;
  Held &operator=(const Held &) = delete;
  operator Object() const { return object; }
};
using HeldMatrix = Held<Mat, MatDestroy>;
using HeldVector = Held<Vec, VecDestroy>;

/// Errors: SolveError.
inline void must(PetscErrorCode code) {
  if (code == 0) return;
  if (code == PETSC_ERR_MEM)
    throw SolveError("not enough memory for the matrices; lower the fineness or the top frequency");
  const char *text = nullptr;
  PetscErrorMessage(code, &text, nullptr);
  throw SolveError("the solution on several processes failed: " +
                   (text ? std::string(text) : "PETSc code " + std::to_string(int(code))));
}

}  // namespace stillbox
