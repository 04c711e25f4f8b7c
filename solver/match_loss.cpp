// SPDX-License-Identifier: MIT
#include "solver/match_loss.h"

#include <cmath>

#include "solver/bounded_fit.h"
#include "solver/lossy_parts.h"

namespace stillbox {

LossModel make_loss_model(const Model &m, const std::vector<LossUnknown> &unknowns, const Eigen::VectorXd &lambda,
                          const Eigen::MatrixXd &layer_strain, const Eigen::MatrixXd &bond_strain) {
  const Structure &s = *m.structure;
  const int modes = int(lambda.size());
  LossModel model{Eigen::VectorXd::Zero(modes), Eigen::MatrixXd::Zero(modes, unknowns.size())};
  const auto add = [&](int i, double energy, double loss, int material, const std::string &bond) {
    for (std::size_t k = 0; k < unknowns.size(); ++k)
      if (bond.empty() ? unknowns[k].material == material : unknowns[k].bond == bond) {
        model.share(i, k) += energy;
        return;
      }
    model.known[i] += loss * energy;
  };
  for (int i = 0; i < modes; ++i) {
    const double f = std::sqrt(lambda[i]) / (2 * M_PI);
    double stored = lambda[i];
    for (int l = 0; l < layer_strain.rows(); ++l) {
      const std::complex<double> scale = layer_scale(m, l, f);
      stored += (scale.real() - 1) * layer_strain(l, i);
      add(i, scale.real() * layer_strain(l, i), scale.imag() / scale.real(), m.laws.layers[l].material, "");
    }
    for (int b = 0; b < bond_strain.rows(); ++b) add(i, bond_strain(b, i), s.bonds[b].loss_factor, -1, s.bonds[b].name);
    model.known[i] /= stored;
    model.share.row(i) /= stored;
  }
  return model;
}

LossFit fit_losses(const LossModel &model, const std::vector<LossUnknown> &unknowns,
                   const std::vector<HeardFrequency> &heard, const std::vector<int> &column_of, double floor) {
  const int n = int(unknowns.size());
  LossFit fit;
  Eigen::VectorXd start(n), low(n), high(n);
  for (int k = 0; k < n; ++k) {
    start[k] = unknowns[k].start;
    low[k] = unknowns[k].low;
    high[k] = unknowns[k].high;
  }
  fit.values = start;
  fit.on_bound = Eigen::VectorXi::Zero(n);
  std::vector<int> rows;
  for (std::size_t i = 0; i < heard.size(); ++i)
    if (column_of[i] >= 0 && heard[i].loss >= 0) rows.push_back(int(i));
  fit.used = int(rows.size());
  if (n == 0 || rows.empty()) return fit;
  Eigen::MatrixXd J(rows.size(), n);
  Eigen::VectorXd offset(rows.size());
  for (std::size_t a = 0; a < rows.size(); ++a) {
    const HeardFrequency &h = heard[rows[a]];
    const double sd = std::max(std::hypot(h.loss_sd, floor * h.loss), 1e-6);
    const int j = column_of[rows[a]];
    J.row(a) = model.share.row(j) / sd;
    offset[a] = (model.known[j] - h.loss) / sd;
  }
  const BoundedFit found = bounded_fit(
      [&](const Eigen::VectorXd &x, Eigen::VectorXd &r, Eigen::MatrixXd &slope) {
        r = J * x + offset;
        slope = J;
      },
      start, low, high);
  fit.values = found.x;
  fit.on_bound = found.on_bound;
  // Relative to the values; one that came out as nothing counts relative to its start, or to 0.01.
  Eigen::MatrixXd relative = J;
  Eigen::VectorXd width(n);
  for (int k = 0; k < n; ++k) {
    const double unit = fit.values[k] > 0 ? fit.values[k] : start[k] > 0 ? start[k] : 0.01;
    relative.col(k) *= unit;
    width[k] = (high[k] - low[k]) / unit;
  }
  fit.quality = judge_fit(relative, found.residuals, fit.on_bound, width);
  return fit;
}

}  // namespace stillbox
