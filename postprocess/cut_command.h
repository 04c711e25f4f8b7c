// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_file.h"

namespace stillbox {

/// What `cut` is asked.
struct CutOptions {
  std::vector<std::string> variants;  ///< names; empty: all
  std::string out;                    ///< folder, empty: print only
  std::string stock_size;             ///< "LENGTH, WIDTH" of the boards sold; empty: 2440, 1220 mm
  bool json = false;
};

/// The cut lists as text (or JSON); writes cut.csv, cut.json and one VARIANT-BOARD.dxf per board into options.out.
/// Errors: CaseError (nothing is written) for an unknown variant or a stock size that is no pair of lengths of
/// 100 .. 10000 mm; MeshError for boards that overlap without a rule; OutputError.
std::string run_cut(const CaseFile &file, const CutOptions &options);

}  // namespace stillbox
