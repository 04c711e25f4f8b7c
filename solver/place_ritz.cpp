// SPDX-License-Identifier: MIT
#include "solver/place_ritz.h"

#include <cmath>

namespace stillbox {
namespace {

// Values of the Lagrange polynomials through `nodes` at p.
Eigen::VectorXd lagrange_at(const std::vector<double> &nodes, double p) {
  Eigen::VectorXd values = Eigen::VectorXd::Ones(Eigen::Index(nodes.size()));
  for (std::size_t i = 0; i < nodes.size(); ++i)
    for (std::size_t j = 0; j < nodes.size(); ++j)
      if (i != j) values[Eigen::Index(i)] *= (p - nodes[j]) / (nodes[i] - nodes[j]);
  return values;
}

}  // namespace

int modes_below(const SymmetricPairs &ritz, int rigid, double hertz) {
  const double top = std::pow(2 * M_PI * hertz, 2);
  int end = rigid;
  while (end < ritz.values.size() && ritz.values[end] <= top) ++end;
  return end;
}

double weight_at(const PlaceModel &model, double p) { return (model.stretch.col(0) + p * model.stretch.col(1)).prod(); }

std::vector<double> place_nodes(double low, double high, int count) {
  std::vector<double> nodes;
  for (int i = 0; i < count; ++i)
    nodes.push_back((low + high) / 2 - (high - low) / 2 * std::cos(M_PI * i / (count - 1)));
  return nodes;
}

PlaceModes place_modes(const PlaceModel &model, double p) {
  const Eigen::VectorXd part = lagrange_at(model.nodes, p);
  const double weight = model.stretch.rows() > 0 ? weight_at(model, p) : 1;
  const Eigen::Index n = model.mass[0].rows();
  Eigen::MatrixXd K = Eigen::MatrixXd::Zero(n, n), M = K, L = K;
  for (std::size_t k = 0; k < model.nodes.size(); ++k) {
    const double scaled = part[Eigen::Index(k)] * model.weight[k] / weight;
    K += scaled * model.stiffness[k];
    M += part[Eigen::Index(k)] * model.mass[k];
    if (!model.loss.empty()) L += scaled * model.loss[k];
  }
  const SymmetricPairs ritz = symmetric_eigenpairs(K, M);
  const int end = modes_below(ritz, model.rigid, model.up_to), count = end - model.rigid;
  const Eigen::MatrixXd y = ritz.vectors.middleCols(model.rigid, count);
  PlaceModes modes;
  modes.frequency = ritz.values.segment(model.rigid, count).cwiseSqrt() / (2 * M_PI);
  modes.loss_factor = Eigen::VectorXd::Constant(count, model.loss_factor);
  if (!model.loss.empty())
    for (int i = 0; i < count; ++i) modes.loss_factor[i] = y.col(i).dot(L * y.col(i)) / ritz.values[model.rigid + i];
  modes.samples = model.samples * y;
  return modes;
}

}  // namespace stillbox
