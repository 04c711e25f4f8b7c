// SPDX-License-Identifier: MIT
#pragma once
#include <array>
#include <functional>
#include <string>
#include <vector>

#include "solver/drive_columns.h"
#include "solver/drive_sound.h"
#include "solver/modal_result.h"

namespace stillbox {

/// The air inside of a model: modes and coupling to the columns of `vectors` (unknowns x shapes). By default
/// lumped_air.
struct DriveAir {
  InsideAir air;
  std::vector<ForcedPort> ports;
  Eigen::VectorXd coupled_area;  ///< see make_forced_system
  Eigen::MatrixXd wall_mass;     ///< see ForcedSystem; may be empty
};
using AirMaker = std::function<DriveAir(const Model &model, const Eigen::MatrixXd &vectors,
                                        const std::vector<WallCutOut> &cut_outs)>;

constexpr double drive_from = 20;      ///< Hz, lowest frequency of a response
constexpr double modes_beyond = 1.2;   ///< modes are found up to this times the top frequency
constexpr double axis_distance = 1.0;  ///< m, in front of the baffle, on the axis of the first driver that is driven

struct DriveRequest {
  double up_to = 1000;     ///< Hz
  int points = 200;        ///< frequencies evenly over the logarithm, besides those at the modes
  double voltage = 0;      ///< V rms at every driver, 0: as the case has it
  std::vector<double> at;  ///< Hz: where the surface is wanted
  SolveOptions solve;      ///< fineness, degree, progress; its top frequency and damping are set here
};

/// Velocity and pressure over the outside at one frequency, all motions together.
struct DriveSurface {
  double frequency = 0;
  Eigen::VectorXcd velocity, pressure;  ///< m/s outwards, Pa, rms, per element
};

/// How well the outside is known at a frequency solved for itself with all motions together, at the largest response.
struct DriveCheck {
  double frequency = 0;
  double sound_difference = 0;  ///< |p - p solved| / |p solved| at the point: interpolation and patterns
  double power_difference = 0;  ///< radiated power by patterns over that of the far field solved, less 1
};

struct DriveSolution {
  std::string case_name, variant_name;
  ModalResult modes;                 ///< of the dry box (loss factors by the energy method); without the field
  std::vector<std::string> drivers;  ///< that are driven
  std::vector<SmallSignal> values;   ///< of them, with the voltage used
  OutsideAir air;
  double inside_volume = 0;         ///< m3
  bool has_standing_waves = false;  ///< the air inside is more than a spring
  int left_out_shapes = 0, rigid_shapes = 0;
  int first_cone = 0;                        ///< place of the first driver's cone in ForcedAnswer::motions
  std::vector<double> radiation_loss;        ///< per mode; NaN above the top frequency
  Eigen::VectorXd frequencies;               ///< Hz
  std::vector<ForcedAnswer> answers, still;  ///< per frequency; `still`: with the walls held
  std::vector<DriveSound> sound;
  std::vector<std::string> walls;  ///< names, in the order of sound_walls
  std::vector<double> wall_area;   ///< m2 of the outside
  Eigen::Vector3d point{0, 0, 0};  ///< m, where the sound on the axis is
  SurfaceMesh surface;
  std::vector<DriveSurface> surfaces;
  int patterns = 0, sound_solutions = 0;
  double sweep_error = 0;              ///< held out, see SoundSweep::error
  double elements_per_wavelength = 0;  ///< at the top frequency
  DriveCheck check;
  double seconds_sound = 0, seconds_response = 0, seconds_shapes = 0;
};

/// The drivers of a structure that have small-signal parameters and sit in a wall of its cabinet, as indices into
/// rim_masses.
std::vector<int> driven_drivers(const Structure &structure);

/// Modes, sound outside and response of one variant. The structure has a cabinet and at least one driven driver; its
/// top frequency is within what cabinet_surface allows. Errors: MeshError, SolveError, CaseError of cabinet_surface.
DriveSolution solve_drive(const Structure &structure, const DriveRequest &request, const AirMaker &make_air = {});

}  // namespace stillbox
