// SPDX-License-Identifier: MIT
#include "solver/match_pairs.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace stillbox {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double known_pair = -100;  // dearer to give up than all else

template <typename Cost>
Eigen::MatrixXd table_of(const std::vector<HeardFrequency> &heard, const Candidates &modes, double gate,
                         const Cost &cost) {
  Eigen::MatrixXd table = Eigen::MatrixXd::Constant(heard.size(), modes.frequency.size(), infinite);
  for (std::size_t i = 0; i < heard.size(); ++i) {
    if (modes.column_of[i] >= 0) {
      table(i, modes.column_of[i]) = known_pair;
      continue;
    }
    for (int j = 0; j < modes.frequency.size(); ++j) {
      const double distance = std::log(heard[i].frequency / modes.frequency[j]);
      if (std::abs(distance) <= gate) table(i, j) = cost(heard[i], j, distance);
    }
  }
  return table;
}

}  // namespace

double other_terms(const HeardFrequency &heard, const Candidates &modes, int j) {
  double sum = 0;
  const auto wall = std::find(modes.wall_boards.begin(), modes.wall_boards.end(), heard.board);
  if (heard.board >= 0 && wall != modes.wall_boards.end())
    sum += std::pow(1 - modes.wall_share(wall - modes.wall_boards.begin(), j), 2);
  if (heard.loss > 0 && modes.loss[j] > 0)
    sum += 0.25 * std::min(1.0, std::pow(std::log(heard.loss / modes.loss[j]) / std::log(2.0), 2));
  return sum;
}

double pair_sd(const HeardFrequency &heard, double mesh_error, double floor) {
  return std::sqrt(heard.sd * heard.sd + mesh_error * mesh_error + floor * floor);
}

Eigen::MatrixXd pair_costs(const std::vector<HeardFrequency> &heard, const Candidates &modes, double gate) {
  return table_of(heard, modes, gate, [&](const HeardFrequency &h, int j, double distance) {
    return std::pow(distance / gate, 2) + other_terms(h, modes, j);
  });
}

Eigen::MatrixXd pair_chi_squared(const std::vector<HeardFrequency> &heard, const Candidates &modes, double gate,
                                 double floor) {
  return table_of(heard, modes, gate, [&](const HeardFrequency &h, int j, double distance) {
    return std::pow(distance / pair_sd(h, modes.error[j], floor), 2) + 9 * other_terms(h, modes, j);
  });
}

double next_gate(const std::vector<HeardFrequency> &heard, const Candidates &modes, const std::vector<int> &column_of,
                 double gate, double floor) {
  std::vector<double> distances, sds;
  for (std::size_t i = 0; i < heard.size(); ++i) {
    if (column_of[i] < 0) continue;
    distances.push_back(std::abs(std::log(heard[i].frequency / modes.frequency[column_of[i]])));
    sds.push_back(pair_sd(heard[i], modes.error[column_of[i]], floor));
  }
  if (distances.empty()) return gate;
  const auto median = [](std::vector<double> &list) {
    std::nth_element(list.begin(), list.begin() + long(list.size() / 2), list.end());
    return list[list.size() / 2];
  };
  return std::min(gate, std::max(3 * 1.4826 * median(distances), 3 * *std::max_element(sds.begin(), sds.end())));
}

}  // namespace stillbox
