// SPDX-License-Identifier: MIT
#include "postprocess/knock_sound.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>
#include <numeric>

#include "postprocess/loudness.h"
#include "postprocess/ring_response.h"

namespace stillbox {
namespace {

using Complex = std::complex<double>;
constexpr double pi = 3.14159265358979323846;
constexpr double air_density = 1.2, sound_speed = 343, distance = 1, highest_heard = 20000;
constexpr double between_variants = 0.4, between_spots = 1.0, loudness_time = 0.2, least = 0.4, most = 3;

std::size_t samples(double seconds) { return std::size_t(std::lround(seconds * sound_rate)); }

const std::string &wall_of(const KnockModel &model, const ModalResult &result, int point) {
  return result.faces[std::size_t(model.points[std::size_t(point)].face)].board;
}

double wall_area(const KnockModel &model, const std::string &wall) {
  const auto it = std::find(model.walls.begin(), model.walls.end(), wall);
  const auto w = std::size_t(it - model.walls.begin());
  return w < model.wall_area.size() ? model.wall_area[w] : 0;
}

std::vector<double> pressure(const KnockModel &model, const KnockPulse &pulse, int point, std::size_t count) {
  std::vector<double> out = volume_acceleration(model, pulse, point, count);
  for (double &value : out) value = monopole_pressure(value, distance);
  return out;
}

double early_energy(const std::vector<double> &sound) {
  const std::size_t count = std::min(sound.size(), samples(loudness_time));
  return a_weighted_energy({sound.begin(), sound.begin() + std::ptrdiff_t(count)}, sound_rate);
}

/// The last 20 ms by a raised cosine, so that the cut does not click.
void fade_out(std::vector<double> &sound) {
  const std::size_t count = std::min(samples(0.02), sound.size());
  for (std::size_t n = 0; n < count; ++n)
    sound[sound.size() - 1 - n] *= 0.5 - 0.5 * std::cos(pi * double(n) / double(count));
}

/// Until what is left of the squared signal is a millionth of the whole.
double length_of(const std::vector<double> &sound) {
  double whole = 0, left = 0;
  for (const double value : sound) whole += value * value;
  std::size_t end = sound.size();
  while (end > 0 && left <= 1e-6 * whole) {
    --end;
    left += sound[end] * sound[end];
  }
  return std::clamp(double(end) / sound_rate, least, most);
}

int nearest_point(const KnockModel &model, const ModalResult &result, const std::string &wall,
                  const Eigen::Vector2d &place) {
  int best = -1;
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t p = 0; p < model.points.size(); ++p) {
    const double away = (model.points[p].place - place).norm();
    if (wall_of(model, result, int(p)) != wall || away >= nearest - 1e-9) continue;
    nearest = away;
    best = int(p);
  }
  return best;
}

/// The spots as points of the first variant.
std::vector<int> spots_of(const KnockModel &model, const ModalResult &result, const KnockPulse &pulse) {
  std::vector<int> spots(model.points.size());
  std::iota(spots.begin(), spots.end(), 0);
  if (spots.size() <= 3) return spots;
  std::vector<std::pair<double, int>> falling;  // -level, point
  for (std::size_t f = 0; f < result.faces.size(); ++f) {
    const Eigen::Vector2d &size = result.faces[f].size;
    const int point = nearest_point(model, result, result.faces[f].board, {0.4 * size[0], 0.45 * size[1]});
    if (point < 0) continue;
    const double energy = early_energy(pressure(model, pulse, point, samples(loudness_time)));
    if (energy > 0) falling.emplace_back(-10 * std::log10(energy), point);
  }
  std::stable_sort(falling.begin(), falling.end(), [](const auto &a, const auto &b) { return a.first < b.first; });
  std::vector<std::pair<double, int>> kept;
  for (const auto &[negative, point] : falling) {
    const double area = wall_area(model, wall_of(model, result, point));
    const bool mirror = std::any_of(kept.begin(), kept.end(), [&](const auto &k) {
      return std::abs(k.first - negative) < 0.5 &&
             std::abs(wall_area(model, wall_of(model, result, k.second)) - area) <= 0.01 * area;
    });
    if (!mirror && kept.size() < 3) kept.emplace_back(negative, point);
  }
  spots.clear();
  for (const auto &[negative, point] : kept) spots.push_back(point);
  return spots;
}

// A cabinet of a STEP file has walls, though its room is not known.
bool has_walls(const ModalResult &result) {
  return std::any_of(result.faces.begin(), result.faces.end(),
                     [](const FaceSamples &face) { return face.role == "wall"; });
}

std::string why_no_sound(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results) {
  for (std::size_t v = 0; v < models.size(); ++v) {
    if (results[v].inner_volume <= 0 && !has_walls(results[v]))
      return "no sound: free boards push air with both sides, and the sound of a closed cabinet's walls does not hold";
    if (models[v].volume.rows() == 0 || models[v].poles.size() == 0 || models[v].points.empty())
      return "no sound: no mode, wall or knock point to make it from";
  }
  return models.empty() ? "no sound: no variant" : "";
}

}  // namespace

double monopole_pressure(double volume_acceleration, double at) {
  return air_density * volume_acceleration / (4 * pi * at);
}

double point_source_limit(const KnockModel &model) {
  const double area = std::accumulate(model.wall_area.begin(), model.wall_area.end(), 0.0);
  return area > 0 ? sound_speed / (2 * pi * std::sqrt(area / (4 * pi))) : 0;
}

std::vector<double> volume_acceleration(const KnockModel &model, const KnockPulse &pulse, int point,
                                        std::size_t count) {
  assert(point >= 0 && point < int(model.points.size()));
  Eigen::ArrayXd sum = Eigen::ArrayXd::Zero(Eigen::Index(count));
  const std::size_t contact = std::min(count, std::size_t(std::ceil(pulse.contact * sound_rate)) + 1);
  for (Eigen::Index k = 0; k < model.poles.size(); ++k) {
    const Complex p = model.poles[k];
    if (p.imag() > 2 * pi * highest_heard) continue;
    const Complex net = model.volume.col(k).sum();
    const Complex factor = -2.0 * net * model.shapes(point, k) / (2.0 * p);
    for (std::size_t n = 0; n < contact; ++n) {
      const double t = double(n) / sound_rate;
      sum[Eigen::Index(n)] += (factor * (p * pulse_force(pulse, t) + p * p * pulse_on_pole(pulse, p, t))).real();
    }
    // From the first sample after the contact on a step of exp(p / rate) per sample, until nothing is left.
    Complex value = factor * p * p * pulse_on_pole(pulse, p, double(contact) / sound_rate);
    const Complex step = std::exp(p / double(sound_rate));
    const double last = 1e-12 * std::abs(value);
    for (std::size_t n = contact; n < count && std::abs(value.real()) + std::abs(value.imag()) > last; ++n) {
      sum[Eigen::Index(n)] += value.real();
      value *= step;
    }
  }
  return {sum.data(), sum.data() + sum.size()};
}

KnockSounds knock_sounds(const std::vector<KnockModel> &models, const std::vector<ModalResult> &results,
                         const KnockPulse &pulse) {
  assert(models.size() == results.size());
  KnockSounds out;
  out.why_none = why_no_sound(models, results);
  if (!out.why_none.empty()) return out;

  std::vector<std::vector<double>> sounds;
  std::vector<double> energies;
  double start = 0.1;
  for (const int spot : spots_of(models[0], results[0], pulse)) {
    const std::string &wall = wall_of(models[0], results[0], spot);
    const Eigen::Vector2d place = models[0].points[std::size_t(spot)].place;
    const std::size_t first = sounds.size();
    double length = least;
    for (std::size_t v = 0; v < models.size(); ++v) {
      const int point = v == 0 ? spot : nearest_point(models[v], results[v], wall, place);
      if (point < 0) continue;
      sounds.push_back(pressure(models[v], pulse, point, samples(most)));
      const std::vector<double> &sound = sounds.back();
      length = std::max(length, length_of(sound));
      SoundedKnock knock;
      knock.variant = models[v].variant_name;
      knock.wall = wall;
      knock.place = models[v].points[std::size_t(point)].place;
      knock.off_spot = (knock.place - place).norm();
      for (const double value : sound) knock.peak_pressure = std::max(knock.peak_pressure, std::abs(value));
      energies.push_back(early_energy(sound));
      knock.a_level = 10 * std::log10(energies.back() / (20e-6 * 20e-6));
      out.knocks.push_back(knock);
    }
    for (std::size_t s = first; s < sounds.size(); ++s) {
      sounds[s].resize(samples(length));
      fade_out(sounds[s]);
      out.knocks[s].start = start;
      start += length + (s + 1 < sounds.size() ? between_variants : between_spots);
    }
  }

  double loudest = 0, loudest_matched = 0;
  std::vector<double> gain(sounds.size(), 1.0);
  const double target = energies.empty() ? 0 : *std::max_element(energies.begin(), energies.end());
  for (std::size_t s = 0; s < sounds.size(); ++s) {
    if (energies[s] > 0) gain[s] = std::sqrt(target / energies[s]);
    out.knocks[s].matched_gain = 20 * std::log10(gain[s]);
    loudest = std::max(loudest, out.knocks[s].peak_pressure);
    loudest_matched = std::max(loudest_matched, gain[s] * out.knocks[s].peak_pressure);
  }
  if (!(loudest > 0)) {
    out.why_none = "no sound: no wall pushes out any net volume at the spots knocked";
    out.knocks.clear();
    return out;
  }
  const double peak = std::pow(10, sound_peak / 20);
  out.equal_gain = peak / loudest;
  const double matched = peak / loudest_matched;
  out.equal_force.assign(samples(start), 0.0);
  out.matched = out.equal_force;
  for (std::size_t s = 0; s < sounds.size(); ++s) {
    const std::size_t from = samples(out.knocks[s].start);
    for (std::size_t n = 0; n < sounds[s].size() && from + n < out.equal_force.size(); ++n) {
      out.equal_force[from + n] = out.equal_gain * sounds[s][n];
      out.matched[from + n] = matched * gain[s] * sounds[s][n];
    }
  }
  return out;
}

}  // namespace stillbox
