// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "mesh/case_file.h"

namespace stillbox {

/// What `converge` is asked.
struct ConvergeOptions {
  std::string variant;   ///< name; empty: the base
  std::string fineness;  ///< increasing, "0.75, 1.1, 1.6" when empty
  std::string degrees;   ///< instead: increasing, at the fineness of the case
  int degree = 0;        ///< of the elements; 0: that of the case, or 3
  double up_to = 0;      ///< Hz; 0: that of the case
  int modes = 10;        ///< how many are shown
  std::string out;       ///< folder; empty: print only
  bool json = false;
};

/// Solves one variant on a row of meshes and tells how the frequencies settle; writes converge.csv, converge.json and
/// converge.svg into options.out. Errors: CaseError (nothing is written) for an unknown variant and for lists that do
/// not increase or leave their range; OutputError, MeshError, SolveError.
std::string run_converge(const CaseFile &file, const ConvergeOptions &options);

}  // namespace stillbox
