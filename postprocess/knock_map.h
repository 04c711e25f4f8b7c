// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "solver/knock_model.h"

namespace stillbox {

/// Five equal steps of dB that the maps of all variants share.
struct MapScale {
  double top = 0;   ///< dB
  double step = 3;  ///< dB per colour: 1, 2, 3, 5, 6 or 10
};
constexpr int map_colours = 5;
MapScale map_scale(const std::vector<KnockModel> &models, const KnockPulse &pulse);

/// Where a knock makes the cabinet ring: the outer faces unfolded (cabinet_net.h), coloured by how much the place
/// itself rings after a knock on it: point_levels (deadness.h), dB re (1 nm/s)^2 1 s. Between the knock points, which
/// are drawn as dots, the colours follow the smoothest surface through them (scattered.h); a wall with fewer than
/// `least_points` is left blank but for its dots. Colours are the light-to-dark half of palette.h. One SVG.
std::string knock_map(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse,
                      const MapScale &scale);
constexpr int least_points = 6;

}  // namespace stillbox
