// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/modal_result.h"

namespace stillbox {

/// For every mode of the base (0-based) the mode of the other variant that has the same shape, or -1.
struct Pairing {
  std::vector<int> partner;
  std::vector<double> mac;  ///< of the pair; 0 without a partner
};

/// Least modal assurance criterion of a pair. The modes of one variant are nearly orthogonal, so the values in a row
/// sum to about 1 at most: above 0.5 a partner is certain to be the best one, 0.4 leaves room for shapes that a brace
/// bends.
constexpr double least_mac = 0.4;

/// Modal assurance criterion between all modes of two variants (rows: base), 0 .. 1:
///   MAC = (a.b)^2 / ((a.a) (b.b)),  a.b = sum over points of (share of area) * a * b,
/// over the normal displacements on the boards that both have under the same name with the same grid: walls and free
/// boards, or, when there are none, any. Weights are the trapezoid rule's on the base's board; points that one of them
/// has cut out are left out. The sign and scale of a shape do not matter. Shapes that do not move get 0.
/// Source: the criterion is standard in modal analysis; from memory.
Eigen::MatrixXd assurance_matrix(const ModalResult &base, const ModalResult &other);

/// Pairs by falling MAC: the best match of all first, then the best of what is left, down to `threshold` (0 .. 1).
/// Each mode is used once. Equal values go to the lower mode numbers.
Pairing pair_modes(const Eigen::MatrixXd &assurance, double threshold = least_mac);
Pairing pair_modes(const ModalResult &base, const ModalResult &other, double threshold = least_mac);

/// One pairing per variant, all against the first; the first one pairs every mode with itself (MAC 1).
std::vector<Pairing> pair_with_base(const std::vector<ModalResult> &variants, double threshold = least_mac);

/// The base's mode for each of the other variant's `modes`, or -1.
std::vector<int> base_mode_of(const Pairing &pairing, std::size_t modes);

}  // namespace stillbox
