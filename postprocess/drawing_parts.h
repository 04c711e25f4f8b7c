// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <string>

#include "mesh/structure.h"

namespace stillbox {

// Internal to the drawings of cabinets: three views and what they are made of.

/// One view: two world axes to pixels, the second one upwards.
struct Drawn {
  int across = 0, up = 2;
  double left = 0, bottom = 0, scale = 1;
  double x(double m) const { return left + scale * m; }
  double y(double m) const { return bottom - scale * m; }
};

struct DrawnBox {
  double x_low = 0, x_high = 0, y_low = 0, y_high = 0;  // m
};

/// A <rect>, at least so many pixels wide and high.
std::string drawn_rectangle(const Drawn &d, const DrawnBox &box, const std::string &style, double least = 0);

/// wall, brace or sheet: the class of what a section cuts.
std::string style_of(const Board &board);

/// The sheet: front (view 0), section from the side (1) and from above (2) with headings and outer sizes.
std::string three_views(const Structure &structure, const Eigen::Vector3d &size, double level,
                        const std::function<std::string(int view, const Drawn &)> &drawn);

}  // namespace stillbox
