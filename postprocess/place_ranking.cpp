// SPDX-License-Identifier: MIT
#include "postprocess/place_ranking.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <random>

#include "postprocess/pairing.h"

namespace stillbox {
namespace {

double neighbours(const std::vector<double> &f) {
  double sum = 0;
  for (std::size_t i = 0; i < f.size(); ++i)
    for (std::size_t j = 0; j < f.size(); ++j)
      if (i != j) sum += std::exp(-std::pow(12 * std::log2(f[j] / f[i]), 2));
  return f.empty() ? 0 : sum / double(f.size());
}

Eigen::MatrixXd assurance_of(const Eigen::MatrixXd &a, const Eigen::MatrixXd &b) {
  Eigen::MatrixXd mac = Eigen::MatrixXd::Zero(a.cols(), b.cols());
  if (a.rows() != b.rows()) return mac;
  for (int i = 0; i < a.cols(); ++i)
    for (int j = 0; j < b.cols(); ++j) {
      const double scale = a.col(i).squaredNorm() * b.col(j).squaredNorm();
      if (scale > 0) mac(i, j) = std::pow(a.col(i).dot(b.col(j)), 2) / scale;
    }
  return mac;
}

}  // namespace

double place_value(const PlaceRequest &request, double up_to, const Eigen::VectorXd &frequency,
                   const Eigen::VectorXd &loss_factor) {
  const double high = request.band_high > 0 ? std::min(request.band_high, up_to) : up_to;
  std::vector<double> inside;
  double longest = 0;
  for (int i = 0; i < frequency.size(); ++i) {
    if (frequency[i] < request.band_low || frequency[i] > high) continue;
    inside.push_back(frequency[i]);
    longest = std::max(longest, decay_time_of(frequency[i], loss_factor[i]));
  }
  if (request.aim == PlaceAim::shortest_ring) return longest;
  if (request.aim == PlaceAim::least_clustering) return neighbours(inside);
  return inside.empty() ? high : *std::min_element(inside.begin(), inside.end());
}

bool is_better(PlaceAim aim, double a, double b) { return aim == PlaceAim::highest_first_mode ? a > b : a < b; }

std::string place_unit(PlaceAim aim) {
  return aim == PlaceAim::highest_first_mode ? "Hz" : aim == PlaceAim::shortest_ring ? "s" : "";
}

std::string place_heading(PlaceAim aim) {
  return aim == PlaceAim::highest_first_mode ? "first mode"
         : aim == PlaceAim::shortest_ring    ? "longest T60"
                                             : "neighbours of a mode";
}

std::vector<RankedPlace> rank_places(const PlaceRequest &request, double up_to, const std::vector<PlaceRow> &rows) {
  std::vector<RankedPlace> list;
  for (std::size_t i = 0; i < rows.size(); ++i)
    if (!rows[i].is_refused())
      list.push_back({i, place_value(request, up_to, rows[i].modes.frequency, rows[i].modes.loss_factor), false});
  std::stable_sort(list.begin(), list.end(), [&](const RankedPlace &a, const RankedPlace &b) {
    return is_better(request.aim, a.value, b.value);
  });
  double lightest = 1e300;
  for (RankedPlace &place : list) {
    place.on_front = rows[place.row].mass < lightest - 1e-4;
    lightest = std::min(lightest, rows[place.row].mass);
  }
  return list;
}

std::vector<PlaceTrack> track_modes(const std::vector<PlaceRow> &rows) {
  std::vector<PlaceTrack> tracks;
  std::vector<int> track_of;  // of the modes of the row before
  const PlaceRow *before = nullptr;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    const PlaceRow &row = rows[r];
    if (row.is_refused()) continue;
    const int count = int(row.modes.frequency.size());
    std::vector<int> now(std::size_t(count), -1);
    if (before && before->line == row.line) {
      const Pairing pairing = pair_modes(assurance_of(before->modes.samples, row.modes.samples));
      for (std::size_t i = 0; i < pairing.partner.size(); ++i)
        if (pairing.partner[i] >= 0) now[std::size_t(pairing.partner[i])] = track_of[i];
    }
    for (int i = 0; i < count; ++i) {
      if (now[std::size_t(i)] < 0) {
        now[std::size_t(i)] = int(tracks.size());
        tracks.push_back({row.line, {}});
      }
      tracks[std::size_t(now[std::size_t(i)])].at.emplace_back(r, i);
    }
    track_of.swap(now);
    before = &row;
  }
  return tracks;
}

int count_wins(const PlaceRequest &request, double up_to, const ModalResult &a, const ModalResult &b, int draws,
               unsigned seed, double *median) {
  std::mt19937 random(seed);
  const auto value_of = [&](const ModalResult &result, const std::map<std::string, double> &drawn) {
    Eigen::VectorXd frequency(Eigen::Index(result.modes.size())), loss = frequency;
    for (Eigen::Index i = 0; i < frequency.size(); ++i) {
      double shift = 0;
      for (const Sensitivity &s : result.sensitivities)
        shift += s.per_mode[std::size_t(i)] * s.tolerance * drawn.at(s.parameter);
      frequency[i] = result.modes[std::size_t(i)].frequency * std::exp(shift);
      loss[i] = result.modes[std::size_t(i)].loss_factor;
    }
    return place_value(request, up_to, frequency, loss);
  };
  std::map<std::string, double> drawn;
  for (const ModalResult *result : {&a, &b})
    for (const Sensitivity &s : result->sensitivities) drawn[s.parameter] = 0;
  int wins = 0;
  std::vector<double> margins;
  for (int d = 0; d < draws; ++d) {
    // Made from the bits themselves: distributions of the library may differ between systems.
    for (auto &[name, value] : drawn) value = 2 * (double(random()) / 4294967295.0) - 1;
    const double of_a = value_of(a, drawn), of_b = value_of(b, drawn);
    wins += is_better(request.aim, of_a, of_b);
    margins.push_back(of_b != 0 ? (of_a - of_b) / of_b : std::numeric_limits<double>::quiet_NaN());
  }
  if (median) {
    const auto middle = margins.begin() + long(margins.size() / 2);
    std::nth_element(margins.begin(), middle, margins.end());
    *median = *middle;
  }
  return wins;
}

}  // namespace stillbox
