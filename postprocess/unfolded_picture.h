// SPDX-License-Identifier: MIT
#pragma once
#include <string>

#include "solver/modal_result.h"

namespace stillbox {

/// The first `most_modes` (1 .. 24) modes of a variant as one SVG sheet of small pictures, each the unfolded cabinet
/// (or the free boards side by side, see cabinet_net.h) to scale with bands of normal displacement in steps of 2/9 of
/// the mode's largest (see palette.h), nodal lines as strokes and cut-outs left blank. The sign of a mode is free: it
/// is chosen so that the largest movement goes outwards. Each picture carries number, frequency, label, loss factor, Q
/// and decay time; a legend and a key to the walls stand below. Coordinates are rounded to 0.1 px. Valid XML with
/// titles and descriptions for screen readers.
std::string unfolded_picture(const ModalResult &result, int most_modes = 6);

/// The picture of one mode (from 0) alone, without caption, about 420 x 330 px; and the legend and key to the walls
/// that such pictures of a variant share.
std::string unfolded_mode_picture(const ModalResult &result, std::size_t mode);
std::string unfolded_key(const ModalResult &result);

}  // namespace stillbox
