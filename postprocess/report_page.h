// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/report_data.h"

namespace stillbox {

/// report.html: one page for the screen and for A4 or letter that needs nothing from anywhere else. All text of the
/// case is escaped; pictures are images with their own ids; a content policy forbids the page to load anything. The
/// same data gives the same bytes. Errors: OutputError (gnuplot).
std::string report_page(const ReportData &data);

}  // namespace stillbox
