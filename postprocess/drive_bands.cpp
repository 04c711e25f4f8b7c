// SPDX-License-Identifier: MIT
#include "postprocess/drive_bands.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "postprocess/text.h"
#include "postprocess/third_octave.h"

namespace stillbox {
namespace {

constexpr double none = -std::numeric_limits<double>::infinity();
constexpr double next_to_nothing = 20;  // dB below the loudest mode: not named beside it

}  // namespace

double level_difference(double part, double whole) { return part > 0 ? 20 * std::log10(part / whole) : none; }

double sound_level(double pressure) { return level_difference(pressure, 20e-6); }

double walls_on_axis(const DriveSound &s) {
  return level_difference(std::abs(s.walls.on_axis), std::abs(s.driver.on_axis));
}

double walls_on_sphere(const DriveSound &s) { return level_difference(s.walls.sphere, s.driver.sphere); }

std::vector<int> loudest_modes(const DriveSolution &s, std::size_t at) {
  const int modes = int(s.modes.modes.size());
  const Eigen::VectorXd &sound = s.sound[at].shape_sphere;
  std::vector<int> order(modes);
  for (int k = 0; k < modes; ++k) order[k] = k;
  std::sort(order.begin(), order.end(), [&](int a, int b) { return sound[a] > sound[b]; });
  std::vector<int> list;
  for (int k : order)
    if (list.size() < 2 && sound[k] > 0 && level_difference(sound[k], sound[order[0]]) > -next_to_nothing)
      list.push_back(k);
  return list;
}

std::vector<DriveBand> drive_bands(const DriveSolution &s) {
  std::vector<DriveBand> bands;
  for (std::size_t i = 0; i < s.sound.size(); ++i) {
    const DriveSound &sound = s.sound[i];
    const int band = third_octave_of(sound.frequency);
    if (bands.empty() || bands.back().band != band) bands.push_back({band, none, 0, none, 0, 0, {}});
    DriveBand &b = bands.back();
    const double axis = walls_on_axis(sound), sphere = walls_on_sphere(sound);
    if (axis > b.on_axis) {
      b.on_axis = axis;
      b.on_axis_hz = sound.frequency;
    }
    if (!(sphere > b.on_sphere)) continue;
    b.on_sphere = sphere;
    b.on_sphere_hz = sound.frequency;
    b.wall = 0;
    for (int w = 1; w < int(sound.wall.size()); ++w)
      if (sound.wall[w].sphere > sound.wall[b.wall].sphere) b.wall = w;
    b.modes = loudest_modes(s, i);
  }
  return bands;
}

std::vector<DrivenMode> driven_modes(const DriveSolution &s) {
  std::vector<DrivenMode> list;
  for (int k = 0; k < int(s.modes.modes.size()); ++k) {
    const double radiation = s.radiation_loss[k];
    if (!std::isfinite(radiation)) continue;
    DrivenMode m{k, none, 0, s.modes.modes[k].loss_factor + radiation, radiation};
    for (const DriveSound &sound : s.sound) {
      const double level = level_difference(sound.shape_sphere[k], sound.driver.sphere);
      if (level > m.on_sphere) {
        m.on_sphere = level;
        m.frequency = sound.frequency;
      }
    }
    list.push_back(m);
  }
  std::stable_sort(list.begin(), list.end(),
                   [](const DrivenMode &a, const DrivenMode &b) { return a.on_sphere > b.on_sphere; });
  return list;
}

std::vector<DrivenWall> driven_walls(const DriveSolution &s) {
  std::vector<DrivenWall> list;
  for (int w = 0; w < int(s.walls.size()); ++w) {
    DrivenWall wall{w, none, 0, none, 0};
    for (const DriveSound &sound : s.sound) {
      const double level = level_difference(sound.wall[w].sphere, sound.driver.sphere);
      const double velocity = level_difference(sound.wall_velocity[w], 1e-9);
      if (level > wall.on_sphere) {
        wall.on_sphere = level;
        wall.frequency = sound.frequency;
      }
      if (velocity > wall.velocity_level) {
        wall.velocity_level = velocity;
        wall.velocity_frequency = sound.frequency;
      }
    }
    list.push_back(wall);
  }
  return list;
}

std::pair<double, double> largest_impedance_change(const DriveSolution &s) {
  std::pair<double, double> most{0, 0};
  for (std::size_t i = 0; i < s.answers.size(); ++i) {
    const double change = std::abs(s.answers[i].impedance[0] - s.still[i].impedance[0]);
    if (change > most.first) most = {change, s.answers[i].frequency};
  }
  return most;
}

std::string wall_word(const DriveSolution &s, int wall) { return clean_text(s.walls.at(std::size_t(wall))); }

std::vector<std::string> wall_words(const std::vector<DriveSolution> &solutions) {
  std::vector<std::string> words;
  for (const DriveSolution &s : solutions)
    for (int w = 0; w < int(s.walls.size()); ++w)
      if (std::find(words.begin(), words.end(), wall_word(s, w)) == words.end()) words.push_back(wall_word(s, w));
  return words;
}

}  // namespace stillbox
