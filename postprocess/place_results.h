// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/report_data.h"

namespace stillbox {

/// What an earlier `place` left in a folder, for the report: candidates.csv and place.json have to be whole, of the
/// search with this fingerprint, and such that the page can show them. Then they go to data.place_json and
/// data.place_svg; otherwise data.place_missing says why not. Whatever lies there, nothing is thrown.
void read_place_results(const std::string &folder, const std::string &fingerprint, ReportData &data);

}  // namespace stillbox
