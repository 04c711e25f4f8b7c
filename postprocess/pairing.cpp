// SPDX-License-Identifier: MIT
#include "postprocess/pairing.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

namespace stillbox {
namespace {

struct CommonFace {
  const FaceSamples *base, *other;
};

std::vector<CommonFace> common_faces(const ModalResult &base, const ModalResult &other, bool any_role) {
  std::vector<CommonFace> common;
  for (const FaceSamples &a : base.faces) {
    if (!any_role && a.role != "wall" && a.role != "free") continue;
    for (const FaceSamples &b : other.faces) {
      if (a.board == b.board && a.role == b.role && a.nu == b.nu && a.nv == b.nv) {
        common.push_back({&a, &b});
        break;
      }
    }
  }
  return common;
}

/// Share of area of point (i, j) by the trapezoid rule, m2.
double weight(const FaceSamples &face, int i, int j) {
  const auto along = [](int k, int n) { return n < 2 ? 1.0 : (k == 0 || k == n - 1 ? 0.5 : 1.0) / (n - 1); };
  return face.size[0] * face.size[1] * along(i, face.nu) * along(j, face.nv);
}

/// Adds this face's part of the three Gram matrices.
void add_products(const CommonFace &face, Eigen::MatrixXd &cross, Eigen::VectorXd &base_square,
                  Eigen::VectorXd &other_square) {
  for (int j = 0; j < face.base->nv; ++j) {
    for (int i = 0; i < face.base->nu; ++i) {
      const auto point = static_cast<std::size_t>(i + j * face.base->nu);
      if (!face.base->present[point] || !face.other->present[point]) continue;
      const double w = weight(*face.base, i, j);
      const auto at = static_cast<Eigen::Index>(point);
      Eigen::VectorXd a(cross.rows()), b(cross.cols());
      for (Eigen::Index m = 0; m < a.size(); ++m) a[m] = face.base->normal[static_cast<std::size_t>(m)][at];
      for (Eigen::Index m = 0; m < b.size(); ++m) b[m] = face.other->normal[static_cast<std::size_t>(m)][at];
      cross.noalias() += w * a * b.transpose();
      base_square += w * a.cwiseAbs2();
      other_square += w * b.cwiseAbs2();
    }
  }
}

}  // namespace

Eigen::MatrixXd assurance_matrix(const ModalResult &base, const ModalResult &other) {
  std::vector<CommonFace> faces = common_faces(base, other, false);
  if (faces.empty()) faces = common_faces(base, other, true);

  const auto rows = static_cast<Eigen::Index>(base.modes.size());
  const auto columns = static_cast<Eigen::Index>(other.modes.size());
  Eigen::MatrixXd mac = Eigen::MatrixXd::Zero(rows, columns);
  Eigen::VectorXd a = Eigen::VectorXd::Zero(rows), b = Eigen::VectorXd::Zero(columns);
  for (const CommonFace &face : faces) add_products(face, mac, a, b);
  for (Eigen::Index i = 0; i < rows; ++i) {
    for (Eigen::Index j = 0; j < columns; ++j) {
      const double squares = a[i] * b[j];
      mac(i, j) = squares > 0 ? std::min(1.0, mac(i, j) * mac(i, j) / squares) : 0.0;
    }
  }
  return mac;
}

Pairing pair_modes(const Eigen::MatrixXd &assurance, double threshold) {
  std::vector<std::tuple<double, Eigen::Index, Eigen::Index>> candidates;
  for (Eigen::Index i = 0; i < assurance.rows(); ++i) {
    for (Eigen::Index j = 0; j < assurance.cols(); ++j) {
      if (assurance(i, j) >= threshold && assurance(i, j) > 0) candidates.emplace_back(-assurance(i, j), i, j);
    }
  }
  std::sort(candidates.begin(), candidates.end());

  Pairing pairing;
  pairing.partner.assign(static_cast<std::size_t>(assurance.rows()), -1);
  pairing.mac.assign(static_cast<std::size_t>(assurance.rows()), 0.0);
  std::vector<char> taken(static_cast<std::size_t>(assurance.cols()), 0);
  for (const auto &[negative, i, j] : candidates) {
    const auto row = static_cast<std::size_t>(i), column = static_cast<std::size_t>(j);
    if (pairing.partner[row] >= 0 || taken[column]) continue;
    pairing.partner[row] = static_cast<int>(j);
    pairing.mac[row] = -negative;
    taken[column] = 1;
  }
  return pairing;
}

Pairing pair_modes(const ModalResult &base, const ModalResult &other, double threshold) {
  return pair_modes(assurance_matrix(base, other), threshold);
}

std::vector<Pairing> pair_with_base(const std::vector<ModalResult> &variants, double threshold) {
  std::vector<Pairing> pairings;
  for (const ModalResult &variant : variants) {
    if (!pairings.empty()) {
      pairings.push_back(pair_modes(variants.front(), variant, threshold));
      continue;
    }
    Pairing itself;
    itself.partner.resize(variant.modes.size());
    std::iota(itself.partner.begin(), itself.partner.end(), 0);
    itself.mac.assign(variant.modes.size(), 1.0);
    pairings.push_back(itself);
  }
  return pairings;
}

std::vector<int> base_mode_of(const Pairing &pairing, std::size_t modes) {
  std::vector<int> base(modes, -1);
  for (std::size_t m = 0; m < pairing.partner.size(); ++m) {
    if (pairing.partner[m] >= 0) base[static_cast<std::size_t>(pairing.partner[m])] = static_cast<int>(m);
  }
  return base;
}

}  // namespace stillbox
