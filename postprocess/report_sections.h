// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/report_data.h"

namespace stillbox {

// Internal to report_page.cpp: the sections of report.html, each as <section> with a heading; "" when it has nothing to
// say. `data` went through complete_report.

std::string verdict_section(const ReportData &data);
std::string cabinet_section(const ReportData &data);
std::string modes_section(const ReportData &data);    ///< side by side, with bands
std::string view_section(const ReportData &data);     ///< turning view
std::string shapes_section(const ReportData &data);   ///< pictures
std::string ringing_section(const ReportData &data);  ///< after a knock
std::string drive_section(const ReportData &data);
std::string place_section(const ReportData &data);
std::string trust_section(const ReportData &data);  ///< tolerances, mesh, what is in and out, all modes

/// <section> with its heading.
std::string html_section(const std::string &id, const std::string &heading, const std::string &content);

}  // namespace stillbox
