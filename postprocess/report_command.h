// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/commands.h"

namespace stillbox {

/// What `report` is asked.
struct ReportOptions {
  KnockOptions knock;          ///< points and pulse; `at` is not used: the sheet is about whole walls
  bool drive = false;          ///< drive the box as well: about as much work again
  std::string materials_path;  ///< the built-in list
};

/// Solves the variants once, knocks on them, and writes options.out/report.html (the current folder when empty), a page
/// that needs nothing else (report_page.h). With `drive` the variants whose drivers have small-signal values are
/// driven, too. What an earlier `place` left in the folder is shown when it is of the same case, materials, top
/// frequency, fineness and degree. Returns what the page says first, as text, or with options.json as JSON
/// (report_data.h). Errors: CaseError (nothing is written then), OutputError (folder and gnuplot before any work),
/// MeshError, SolveError.
std::string run_report(const CaseFile &file, const RunOptions &options, const ReportOptions &report);

}  // namespace stillbox
