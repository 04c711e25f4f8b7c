// SPDX-License-Identifier: MIT
#include "solver/place_poles.h"

#include <algorithm>
#include <cmath>

#include "mesh/alike_meshes.h"
#include "solver/place_ritz.h"

namespace stillbox {
namespace {

// Rings around cut-outs are sheared as well as stretched: their stiffness has poles not where a brick's stretch is
// zero, but from the place on where the mesh between a rim and a board would vanish. Rational functions with poles
// there follow it far better than polynomials do.
void weigh_with_poles(const Eigen::MatrixXd &stretch, const std::vector<std::pair<double, double>> &ends_and_poles,
                      PlaceModel &out) {
  out.stretch.resize(stretch.rows() + Eigen::Index(ends_and_poles.size()), 2);
  out.stretch.topRows(stretch.rows()) = stretch;
  Eigen::Index row = stretch.rows();
  for (const auto &[end, pole] : ends_and_poles) out.stretch.row(row++) << -pole / (end - pole), 1 / (end - pole);
  for (std::size_t k = 0; k < out.nodes.size(); ++k) out.weight[k] = weight_at(out, out.nodes[k]);
}

double worst_difference(const PlaceModes &a, const PlaceModes &b) {
  double worst = 0;
  for (int i = 0; i < std::min(a.frequency.size(), b.frequency.size()); ++i)
    worst = std::max(worst, std::abs(a.frequency[i] / b.frequency[i] - 1));
  return worst;
}

PlaceModel without_node(const PlaceModel &all, std::size_t node) {
  PlaceModel others = all;
  const auto drop = [&](auto &list) {
    if (!list.empty()) list.erase(list.begin() + long(node));
  };
  drop(others.nodes);
  drop(others.weight);
  drop(others.stiffness);
  drop(others.mass);
  drop(others.loss);
  return others;
}

}  // namespace

void find_stretches(const std::vector<Structure> &structures, const std::vector<double> &nodes, PlaceModel &out) {
  const std::size_t count = structures.size();
  std::vector<std::vector<double>> found;
  const Structure &reference = structures[count / 2];
  for (std::size_t k = 0; k < count; ++k) {
    const auto maps = axis_maps(reference, structures[k]);
    if (!maps) throw MeshError("the boards touch each other in other places");
    std::size_t row = 0;
    for (const AxisMap &map : *maps)
      for (std::size_t i = 0; i + 1 < map.from.size(); ++i, ++row) {
        if (k == 0) found.emplace_back(count, 1);
        found[row][k] = (map.to[i + 1] - map.to[i]) / (map.from[i + 1] - map.from[i]);
      }
  }
  std::vector<Eigen::Vector2d> lines;
  for (const auto &s : found) {
    const double slope = (s.back() - s.front()) / (nodes.back() - nodes.front());
    const double offset = s.front() - slope * nodes.front();
    for (std::size_t k = 0; k < count; ++k)
      if (std::abs(offset + slope * nodes[k] - s[k]) > 1e-6) {
        lines.clear();
        k = count;
      }
    const Eigen::Vector2d line(offset, slope);
    const bool is_known =
        std::any_of(lines.begin(), lines.end(), [&](const auto &l) { return (l - line).norm() < 1e-9 * line.norm(); });
    if (std::abs(s.back() - s.front()) > 1e-9 && !is_known) lines.push_back(line);
  }
  out.stretch.resize(Eigen::Index(lines.size()), 2);
  for (std::size_t i = 0; i < lines.size(); ++i) out.stretch.row(Eigen::Index(i)) = lines[i].transpose();
}

double choose_poles(const Eigen::MatrixXd &stretch, PlaceModel &out) {
  const double low = out.nodes.front(), high = out.nodes.back();
  const std::size_t held_out[] = {1, out.nodes.size() - 2};
  std::vector<PlaceModel> others;
  std::vector<PlaceModes> there;
  for (const std::size_t node : held_out) {
    others.push_back(without_node(out, node));
    there.push_back(place_modes(out, out.nodes[node]));
  }
  const double distances[] = {0, 0.04, 0.08, 0.16, 0.4};  // of the row's length, 0: no pole; the second thrice as far
  double best = 1e300;
  std::vector<std::pair<double, double>> chosen;
  for (const double below : distances)
    for (const double above : distances) {
      std::vector<std::pair<double, double>> poles;
      for (const double times : {1.0, 3.0}) {
        if (below > 0) poles.emplace_back(low, low - times * below * (high - low));
        if (above > 0) poles.emplace_back(high, high + times * above * (high - low));
      }
      // Bricks remain exact: their stiffness times the weight is a polynomial of one degree more than the weight.
      if (stretch.rows() + Eigen::Index(poles.size()) + 2 > Eigen::Index(out.nodes.size())) continue;
      double error = 0;
      for (int i : {0, 1}) {
        weigh_with_poles(stretch, poles, others[i]);
        error = std::max(error, worst_difference(place_modes(others[i], out.nodes[held_out[i]]), there[i]));
      }
      if (error < best) {
        best = error;
        chosen = poles;
      }
    }
  weigh_with_poles(stretch, chosen, out);
  return best;
}

}  // namespace stillbox
