// SPDX-License-Identifier: MIT
#pragma once
#include "solver/free_plate.h"

namespace stillbox {

/// A frequency heard of a free plate.
struct PlateTone {
  double frequency = 0, sd = 0;    ///< Hz, both > 0
  int nodes_x = -1, nodes_y = -1;  ///< which mode it is, (2,0), (1,1), (0,2) ...; -1: paired by order
};

struct PlateFitOptions {
  bool orthotropic = true;  ///< ex, ey, gxy free; otherwise ex = ey free and gxy = ex / 2 (1 + nu)
  double nu_xy = 0.25;
  double ratio_xz = 0.04, ratio_yz = 0.04;  ///< gxz / ex and gyz / ey, held
  int coarse_degree = 8, degree = 14;       ///< of the series: from the starts, and from the best of their ends
};

struct PlateTonePair {
  PlateTone tone;
  double computed = 0;  ///< Hz
  int nodes_x = 0, nodes_y = 0;
  double purity = 0;
};

/// What the tones say about the moduli. Parameters are ln ex, ln ey, ln gxy (orthotropic) or ln ex alone.
struct PlateFit {
  PlateModuli moduli;
  Eigen::MatrixXd covariance;  ///< of the logarithms, from the tones' sd; what no tone tells: 1; chi^2 / freedom times
                               ///< as much where that is above 1
  std::vector<PlateTonePair> pairs;  ///< in the order of the tones
  double chi_square = 0;
  int freedom = 0;  ///< tones - parameters
  bool settled = false;
};

/// Least squares by Levenberg and Marquardt in the logarithms of the moduli with exact derivatives (plate_modes).
/// Tones with labels are paired with the computed modes that hold most of that product, the others by order with those
/// that are left. Without labels it starts from each way of calling the three lowest tones (2,0), (1,1) and (0,2), and
/// the best end is taken. Errors: std::domain_error with too few tones (3 orthotropic, else 1), more than 20, a
/// frequency or sd not above 0, a label given twice or rigid, or sizes as plate_modes.
PlateFit fit_plate(const FreePlate &plate, const std::vector<PlateTone> &tones, const PlateFitOptions &options);

/// Standard deviations.
struct PlateSpread {
  double length = 0, width = 0, thickness = 0, mass = 0;  ///< m, m, m, kg
  double shear_ratio = 0;                                 ///< of ratio_xz and ratio_yz together, relative, below 1
};

/// fit.covariance plus what sizes, mass and shear ratios add, each moved by its standard deviation, to first order.
Eigen::MatrixXd plate_covariance(const FreePlate &plate, const std::vector<PlateTone> &tones,
                                 const PlateFitOptions &options, const PlateFit &fit, const PlateSpread &spread);

}  // namespace stillbox
