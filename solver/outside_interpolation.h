// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <vector>

#include "solver/outside_sound.h"

namespace stillbox {

/// What a response needs of the sound outside at one frequency, for unit velocities of real shapes.
struct ShapeSound {
  Eigen::MatrixXcd impedance;  ///< shapes x shapes, as RadiationImpedance::z
  Eigen::MatrixXcd transfer;   ///< points x shapes: pressure (Pa) at each point
  Eigen::VectorXd monopole;    ///< per shape: pressure (Pa) at the farthest point if the moved air, the integral of
                               ///< |v| dA, all came from one small source
};

/// Impedance and transfer pressures over a range of frequencies from solutions at a few of them.
/// By reciprocity and because all is real in time, with r the distance of a point from the middle,
///   R / k^2,  X / k,  Re and (1/k) Im of transfer exp(i k r) / (i k)
/// are smooth even functions of k: polynomials in k^2 through the solved frequencies (barycentric formula).
struct SoundSweep {
  double low = 0, high = 0;  ///< Hz
  OutsideAir air;
  std::vector<double> frequencies;             ///< solved, in the order they were
  std::vector<double> held_out;                ///< error at each of them before it was used; NaN for the first two
  double error = 0;                            ///< the larger of the last two: relative, see sweep_outside
  double mesh_asymmetry = 0, mesh_energy = 0;  ///< worst RadiationImpedance::asymmetry; worst |energy| of shapes with
                                               ///< R above |Z| / 2: the mesh's own error
  Eigen::VectorXd distances;                   ///< m, of the points from the middle
  Eigen::MatrixXd values;                      ///< the even functions: entries x solved frequencies
  Eigen::VectorXd weights;                     ///< barycentric
  Eigen::VectorXd monopole_per_hz;             ///< ShapeSound::monopole over frequency
  int shapes = 0;
};

struct SweepOptions {
  double tolerance = 0.01;  ///< relative; 0.01 is 0.09 dB
  int least_solves = 5, most_solves = 40;
  std::function<void(int solved, double error)> progress;
};

/// Solves at one frequency after the other between low and high (Hz, 0 < low < high), each where the polynomial is
/// worst supported (Leja points in k^2), and first compares what the ones before it predict for it, a true held-out
/// error: the largest |change| of Z(i,j) over sqrt(|Z(i,i) Z(j,j)|), and of a transfer pressure over the largest of its
/// shape or a tenth of ShapeSound::monopole, whichever is larger (else shapes that radiate next to nothing would rule).
/// Stops when two in a row are below the tolerance, or at most_solves; then `error` tells how good it is, and whoever
/// uses it has to look. A box of the diagonal d takes about 2 + 1.5 k_high d solutions for 1 % (measured up to 20 in
/// k_high d). The error of the mesh is not in it and has measures of its own.
/// `shapes`: elements x shapes; `points`: points x 3 in the air. Errors: SolveError as solve_outside.
SoundSweep sweep_outside(const SurfaceMesh &mesh, const OutsideAir &air, const Eigen::MatrixXd &shapes,
                         const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, double low, double high,
                         const SweepOptions &options = {});

/// The sweep's value at a frequency within its range.
ShapeSound sound_at(const SoundSweep &sweep, double frequency);

/// One frequency solved, not interpolated.
ShapeSound solve_shapes(const SurfaceMesh &mesh, const OutsideAir &air, const Eigen::MatrixXd &shapes,
                        const Eigen::Matrix<double, Eigen::Dynamic, 3> &points, double frequency);

/// The largest relative difference of two, as sweep_outside measures it.
double largest_difference(const ShapeSound &a, const ShapeSound &b);

}  // namespace stillbox
