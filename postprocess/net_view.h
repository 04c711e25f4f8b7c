// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "postprocess/cabinet_net.h"
#include "postprocess/polyline.h"

namespace stillbox {

/// Sheet metres to pixels: where the layout's lower left corner lies, and the scale.
struct View {
  Eigen::Vector2d low{0, 0};
  double left = 0, bottom = 0, scale = 1;
};

/// Pixels of a board point (u, v), and of lines of such points that start at `shift` from the board's low corner.
Eigen::Vector2d to_pixels(const View &view, const Placement &placement, const Eigen::Vector2d &uv);
std::vector<Polyline> to_pixels(const View &view, const Placement &placement, const std::vector<Polyline> &lines,
                                const Eigen::Vector2d &shift = {0, 0});

/// A <rect> of a class between two board points.
std::string board_rectangle(const View &view, const Placement &placement, const Eigen::Vector2d &low,
                            const Eigen::Vector2d &high, const std::string &style);

/// The start of a picture: the <svg> element with its size in pixels, title and description (not yet escaped).
std::string svg_start(double width, double height, const std::string &title, const std::string &about);

/// A bar of 100 mm at `scale` (pixels to the metre), drawn with a class.
std::string scale_bar(double scale, double x, double y, const std::string &style, double text_below);

}  // namespace stillbox
