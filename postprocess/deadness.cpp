// SPDX-License-Identifier: MIT
#include "postprocess/deadness.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <map>

#include "postprocess/ring_response.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double acceleration_0 = 1e-6, velocity_0 = 1e-9;  // ISO 1683, m/s2 and m/s

/// Points of each face that has any, in the order of the first points.
std::vector<std::vector<int>> points_by_face(const KnockModel &model) {
  std::vector<std::vector<int>> out;
  std::map<int, std::size_t> place;
  for (std::size_t p = 0; p < model.points.size(); ++p) {
    const auto [it, is_new] = place.emplace(model.points[p].face, out.size());
    if (is_new) out.emplace_back();
    out[it->second].push_back(int(p));
  }
  return out;
}

double area_of(const KnockModel &model, const ModalResult &result, int face) {
  const FaceSamples &samples = result.faces[std::size_t(face)];
  const auto wall = std::find(model.walls.begin(), model.walls.end(), samples.board);
  const auto w = std::size_t(wall - model.walls.begin());
  return w < model.wall_area.size() ? model.wall_area[w] : samples.size.prod();
}

std::vector<BandDecay> band_decays(const std::vector<RingMode> &modes, const RingEnergy &energy) {
  std::map<int, std::vector<Eigen::Index>> columns;
  const auto m = Eigen::Index(modes.size());
  for (Eigen::Index k = 0; k < m; ++k) {
    std::vector<Eigen::Index> &list = columns[third_octave_of(modes[std::size_t(k)].frequency)];
    list.push_back(k);
    list.push_back(m + k);
  }
  std::vector<BandDecay> out;
  double sum = 0;
  for (const auto &[band, list] : columns) {
    const RingEnergy part = part_of(energy, list);
    const double whole = energy_after(part, 0);
    if (!(whole > 0)) continue;
    sum += whole;
    out.push_back({band, int(list.size() / 2), fit_decay(part), whole});
  }
  for (BandDecay &band : out) band.share /= sum;
  return out;
}

RingEnergy mean_energy(const RingModes &ring, const Eigen::VectorXcd &after, const Eigen::MatrixXcd &shapes,
                       const Eigen::VectorXd &weights) {
  const Eigen::MatrixXcd gram = shapes.transpose() * weights.asDiagonal() * shapes;  // mean of x_k x_l over the places
  const Eigen::VectorXcd velocity = after.cwiseProduct(ring.poles);
  return ring_energy(ring.poles, (velocity * velocity.transpose()).cwiseProduct(gram.cwiseProduct(gram)));
}

/// The figures of the points `list` with weights that sum to 1.
WallDeadness wall_deadness(const RingModes &ring, const Eigen::VectorXcd &after, const std::vector<RingMode> &modes,
                           const std::vector<int> &list, const Eigen::VectorXd &weights, const KnockPulse &pulse) {
  WallDeadness out;
  out.points = int(list.size());
  const Eigen::MatrixXcd shapes = ring.shapes(list, Eigen::all);

  double highest = 0, without_gaps = 0;
  std::vector<double> amplitude;  // rms over knocks and places, m/s2
  for (std::size_t k = 0; k < modes.size(); ++k) {
    const auto c = Eigen::Index(k);
    const double mean_square = weights.dot(shapes.col(c).cwiseAbs2());
    amplitude.push_back(2 * std::abs(after[c] * ring.poles[c] * ring.poles[c]) * mean_square / std::sqrt(2.0));
    out.level.push_back(20 * std::log10(amplitude.back() / acceleration_0));
    if (amplitude.back() > highest) {
      highest = amplitude.back();
      out.strongest = int(k);
    }
  }
  const auto filled_level = [&](std::size_t k) {
    const auto c = Eigen::Index(k);
    const double smooth = std::abs(ring.poles[c]) * pulse_envelope(pulse, modes[k].frequency) *
                          weights.dot(shapes.col(c).cwiseAbs2()) / std::sqrt(2.0);
    return std::max(amplitude[k], smooth);
  };
  const double filled_highest = out.strongest < 0 ? 0 : filled_level(std::size_t(out.strongest));
  for (std::size_t k = 0; k < modes.size() && highest > 0; ++k) {
    const double filled = filled_level(k);
    if (int(k) != out.strongest && filled > std::max(1.26 * filled_highest, without_gaps)) {  // by 2 dB at least
      without_gaps = filled;
      out.spared = int(k);
    }
    if (amplitude[k] < highest * std::pow(10, -heard_range / 20)) continue;
    if (out.lowest_heard < 0 || modes[k].frequency < modes[std::size_t(out.lowest_heard)].frequency)
      out.lowest_heard = int(k);
    if (out.longest < 0 || modes[k].decay_time > modes[std::size_t(out.longest)].decay_time) out.longest = int(k);
  }

  const RingEnergy energy = mean_energy(ring, after, shapes, weights);
  const double whole = energy_after(energy, 0);
  out.energy_level = 10 * std::log10(whole / (velocity_0 * velocity_0));
  out.left_20ms = whole > 0 ? energy_after(energy, 0.02) / whole : 0;
  out.left_100ms = whole > 0 ? energy_after(energy, 0.1) / whole : 0;
  out.centre_time = centre_time(energy);
  out.time_to_60 = time_until(energy, 1e-6);
  out.bands = band_decays(modes, energy);
  return out;
}

}  // namespace

RingMode ring_mode(std::complex<double> pole) {
  const std::complex<double> lambda = -pole * pole;
  RingMode mode;
  mode.frequency = std::sqrt(std::max(lambda.real(), 0.0)) / (2 * pi);
  mode.loss_factor = lambda.imag() / lambda.real();
  mode.quality = 1 / mode.loss_factor;
  mode.decay_time = 3 * std::log(10.0) / -pole.real();
  return mode;
}

Eigen::VectorXd point_weights(const KnockModel &model, const ModalResult &result) {
  Eigen::VectorXd out(Eigen::Index(model.points.size()));
  for (const std::vector<int> &list : points_by_face(model))
    for (const int p : list) out[p] = area_of(model, result, model.points[std::size_t(p)].face) / double(list.size());
  return out / out.sum();
}

RingEnergy ring_energy_of(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse) {
  const RingModes ring = ring_modes(model);
  return mean_energy(ring, after_contact(ring, pulse), ring.shapes, point_weights(model, result));
}

Eigen::VectorXd point_levels(const KnockModel &model, const KnockPulse &pulse) {
  const RingModes ring = ring_modes(model);
  const Eigen::VectorXcd velocity = after_contact(ring, pulse).cwiseProduct(ring.poles);
  Eigen::MatrixXcd kernel = -velocity * velocity.transpose();
  for (Eigen::Index k = 0; k < kernel.rows(); ++k)
    for (Eigen::Index l = 0; l < kernel.cols(); ++l) kernel(k, l) /= ring.poles[k] + ring.poles[l];
  const Eigen::MatrixXcd products = ring.shapes.cwiseProduct(ring.shapes);  // the knock's and the answer's place agree
  const Eigen::VectorXd energy = (products * kernel).cwiseProduct(products).rowwise().sum().real();
  return (energy.array().max(0) / (velocity_0 * velocity_0)).log10() * 10;
}

Deadness deadness(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse) {
  assert(model.shapes.rows() == Eigen::Index(model.points.size()));
  Deadness out{model.case_name, model.variant_name, model.up_to, {}, {}, {}};
  for (Eigen::Index k = 0; k < model.poles.size(); ++k) {
    out.modes.push_back(ring_mode(model.poles[k]));
    const std::size_t n = std::size_t(k);
    if (result.modes.size() == std::size_t(model.poles.size()) &&
        std::abs(result.modes[n].frequency / out.modes[n].frequency - 1) < 0.01)
      out.modes[n].label = result.modes[n].label;
  }
  const RingModes ring = ring_modes(model);
  const Eigen::VectorXcd after = after_contact(ring, pulse);
  std::vector<int> every;
  for (const std::vector<int> &list : points_by_face(model)) {
    const Eigen::VectorXd even = Eigen::VectorXd::Constant(Eigen::Index(list.size()), 1.0 / double(list.size()));
    out.walls.push_back(wall_deadness(ring, after, out.modes, list, even, pulse));
    const int face = model.points[std::size_t(list.front())].face;
    out.walls.back().wall = result.faces[std::size_t(face)].board;
    out.walls.back().area = area_of(model, result, face);
    out.all.area += out.walls.back().area;
  }
  for (std::size_t p = 0; p < model.points.size(); ++p) every.push_back(int(p));
  const double area = out.all.area;
  out.all = wall_deadness(ring, after, out.modes, every, point_weights(model, result), pulse);
  out.all.wall = "all walls";
  out.all.area = area;
  return out;
}

}  // namespace stillbox
