// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "postprocess/polyline.h"

namespace stillbox {

/// Path data of lines given in pixels, in whole tenths of a pixel (for a group scaled by 0.1), simplified to a tenth of
/// a pixel: "M12 34l5-6..." with relative steps; rings are closed with z. Lines that vanish are left out.
std::string svg_path(const std::vector<Polyline> &lines);

/// A <text> element; `style` is a class of the sheet, `anchor` start, middle or end. The text is escaped.
std::string svg_text(double x, double y, const std::string &style, const std::string &anchor, const std::string &text);

/// A <rect> without a border.
std::string svg_rectangle(double x, double y, double width, double height, const std::string &fill);

}  // namespace stillbox
