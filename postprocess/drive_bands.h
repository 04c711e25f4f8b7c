// SPDX-License-Identifier: MIT
#pragma once
#include <string>
#include <vector>

#include "solver/drive_solve.h"

namespace stillbox {

/// 20 lg |part / whole|, dB; -infinity when there is nothing of the part.
double level_difference(double part, double whole);

/// Sound level at 1 m, dB re 20 uPa (ISO 1683; from memory).
double sound_level(double pressure);

/// The walls' sound against the driver's (cones and ports together) at one frequency, dB.
double walls_on_axis(const DriveSound &sound);
double walls_on_sphere(const DriveSound &sound);

/// Where the walls come nearest to the driver within a third-octave band.
struct DriveBand {
  int band = 0;                            ///< see third_octave.h
  double on_axis = 0, on_axis_hz = 0;      ///< dB, Hz
  double on_sphere = 0, on_sphere_hz = 0;  ///< the mean square over all directions
  int wall = 0;            ///< place in DriveSolution::walls: the one that is loudest there (over the sphere)
  std::vector<int> modes;  ///< the modes that are loudest there, alone over the sphere, at most two
};
std::vector<DriveBand> drive_bands(const DriveSolution &solution);

/// The modes that are loudest alone, over the sphere, at the frequency of this index: at most two, loudest first, the
/// second at most 20 dB below the first.
std::vector<int> loudest_modes(const DriveSolution &solution, std::size_t at);

/// One mode's sound as if alone, over the sphere, where it comes nearest to the driver.
struct DrivenMode {
  int mode = 0;            ///< from 0
  double on_sphere = 0;    ///< dB re the driver
  double frequency = 0;    ///< Hz, where that is
  double loss_factor = 0;  ///< of the materials and by radiation
  double radiation_loss = 0;
};
/// The modes up to the top frequency, loudest first.
std::vector<DrivenMode> driven_modes(const DriveSolution &solution);

/// One wall's, with the velocity there.
struct DrivenWall {
  int wall = 0;
  double on_sphere = 0, frequency = 0;                ///< dB re the driver, Hz
  double velocity_level = 0, velocity_frequency = 0;  ///< greatest rms velocity, dB re 1 nm/s (ISO 1683), Hz
};
std::vector<DrivenWall> driven_walls(const DriveSolution &solution);

/// Where the walls' motion changes the first driver's impedance most: |Z - Z still| in ohm and Hz.
std::pair<double, double> largest_impedance_change(const DriveSolution &solution);

/// Name of a wall, cleaned; and all names of several variants, each once.
std::string wall_word(const DriveSolution &solution, int wall);
std::vector<std::string> wall_words(const std::vector<DriveSolution> &solutions);

}  // namespace stillbox
