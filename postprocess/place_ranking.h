// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "mesh/case_place.h"
#include "postprocess/place_rows.h"
#include "solver/modal_result.h"

namespace stillbox {

/// What the aim makes of one box's modes.
///   highest first mode  Hz: the lowest frequency from the band's low end on; the top frequency when there is none
///   shortest ring       s: the longest T60 = 3 ln 10 / (pi eta f) in the band; 0 when there is no mode in it
///   least clustering    mean over the band's modes of sum over the others of exp(-(12 log2(f_j / f_i))^2): about how
///                       many other modes lie within a twelfth of an octave; our measure, no standard. 0 without modes
double place_value(const PlaceRequest &request, double up_to, const Eigen::VectorXd &frequency,
                   const Eigen::VectorXd &loss_factor);

/// True when a is better than b.
bool is_better(PlaceAim aim, double a, double b);

/// "Hz", "s" or "".
std::string place_unit(PlaceAim aim);
/// "first mode", "longest T60", "neighbours of a mode".
std::string place_heading(PlaceAim aim);

struct RankedPlace {
  std::size_t row = 0;  ///< index into the rows
  double value = 0;
  bool on_front = false;  ///< nothing else is both lighter (or as heavy) and better
};
/// Candidates that were not refused, the best first; equal values by row.
std::vector<RankedPlace> rank_places(const PlaceRequest &request, double up_to, const std::vector<PlaceRow> &rows);

/// A mode followed from candidate to candidate of a line by its shape on the walls (MAC, see pairing.h), also through
/// crossings.
struct PlaceTrack {
  int line = 0;
  std::vector<std::pair<std::size_t, int>> at;  ///< row and mode (from 0), places increasing
};
std::vector<PlaceTrack> track_modes(const std::vector<PlaceRow> &rows);

/// Of `draws` boxes with boards drawn at random within their tolerances (evenly, moduli, densities and thicknesses of
/// each stock on their own; the same draw for the same board in both), how many times `a` is better than `b`. First
/// order: f exp(sum of s_i d_i) with the exact sensitivities s_i of a full solution. `median`: of (a - b) / b over the
/// boxes; NaN where b is 0.
int count_wins(const PlaceRequest &request, double up_to, const ModalResult &a, const ModalResult &b, int draws,
               unsigned seed, double *median = nullptr);

}  // namespace stillbox
