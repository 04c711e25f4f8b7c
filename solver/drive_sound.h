// SPDX-License-Identifier: MIT
#pragma once
#include <vector>

#include "solver/forced_response.h"
#include "solver/outside_interpolation.h"
#include "solver/outside_patterns.h"

namespace stillbox {

/// What the outside does to the motions of a box at one frequency, from a sweep over its patterns.
struct DriveRadiation {
  Eigen::MatrixXcd impedance;          ///< motions x motions, N s/m: the air's reaction, see RadiationImpedance
  Eigen::MatrixXd pattern_resistance;  ///< patterns x patterns
  Eigen::RowVectorXcd transfer;        ///< Pa per m/s of each pattern, at the sweep's first point
};

/// The reactance of a piston on itself is left out of `impedance`: a data sheet's moving mass and a port's end
/// correction hold it, and elements as coarse as a port cannot tell it.
DriveRadiation drive_radiation(const OutsidePatterns &patterns, const SoundSweep &sweep, double frequency);

/// Sound of one source: pressure (Pa, rms) at the point, and root mean square over the sphere of 1 m radius in the far
/// field's sense, from the power P it would radiate alone: sqrt(P rho c / (4 pi r^2)).
struct SoundPart {
  std::complex<double> on_axis;
  double sphere = 0;
};

/// Where the sound at one frequency comes from. Pressures at the point add up: walls + cones + ports = total.
struct DriveSound {
  double frequency = 0;
  SoundPart walls, cones, ports, total;
  SoundPart driver;               ///< cones and ports together: the sound that is wanted
  std::vector<SoundPart> wall;    ///< in the order of sound_walls; what sits in its cut-outs and moves with it included
  Eigen::RowVectorXcd shape;      ///< Pa at the point, per shape of the walls: their sum is walls.on_axis
  Eigen::VectorXd shape_sphere;   ///< Pa, of each shape as if alone
  Eigen::VectorXd wall_velocity;  ///< m/s, rms over each wall's outside and in time, pistons not counted
  double net_volume_pressure = 0;  ///< Pa at 1 m of a small source of the walls' net volume velocity (k a << 1)
};

DriveSound drive_sound(const OutsidePatterns &patterns, const DriveRadiation &radiation, const ForcedAnswer &answer,
                       const OutsideAir &air);

/// Loss factor that radiation into free space adds to a mode of the angular frequency w: R / w, R its radiation
/// resistance at that frequency for a mass-normalised shape.
double radiation_loss(const DriveRadiation &radiation, int shape, double frequency);

}  // namespace stillbox
