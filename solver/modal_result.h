// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

namespace stillbox {

/// Geometry and mode shapes on the finite element nodes, for files and pictures.
/// A hexahedron lists its (degree + 1)^3 nodes with the first local direction fastest, a tetrahedron in the order of
/// `tetrahedron`, the nodes' places in the unit cell; that is empty for hexahedra.
struct ModalField {
  int degree = 2;
  std::vector<double> knots;  ///< of one direction in [0, 1], degree + 1 of them (see Discretisation)
  Eigen::Matrix<double, Eigen::Dynamic, 3> tetrahedron;
  Eigen::Matrix<double, Eigen::Dynamic, 3> points;  ///< m
  std::vector<std::vector<int>> cells;
  std::vector<int> cell_board, cell_material;
  std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> shapes;  ///< one per mode, per sqrt(kg): M-orthonormal
};

/// Normal displacement on an even grid of points over the outer face of a board (the middle plane for a brace).
/// Point (i, j), i < nu, j < nv, is number i + j * nu and lies at u = i / (nu - 1) * size[0], v likewise, in board
/// coordinates from the low corner of the outline.
struct FaceSamples {
  std::string board;
  std::string role;        ///< "wall", "brace", "sheet" or "free"
  bool is_bent = false;    ///< laid flat: u and v are the axes at the low corner
  bool is_closed = false;  ///< goes right round: its two ends along u are one
  Eigen::Vector2d size{0, 0};
  int nu = 0, nv = 0;
  Eigen::Vector3d origin{0, 0, 0}, u{1, 0, 0}, v{0, 1, 0};
  /// Corners of the face from the low corner of the outline, where it is no rectangle and its edge is known.
  std::vector<Eigen::Vector2d> outline;
  std::vector<char> present;            ///< 0 where there is no wood: in a cut-out, beyond the outline
  std::vector<Eigen::VectorXd> normal;  ///< one per mode; along the board's normal u x v (outwards for a wall)
};

/// How loss factors are found: by the energy method, by the complex eigenproblem, or by the latter only where the
/// former may be off (see wants_exact_damping).
enum class Damping { energy, exact, where_needed };

/// T60 = 3 ln 10 / (pi eta f), s: the time in which the amplitude exp(-pi eta f t) of a mode at f Hz falls by 60 dB.
/// Infinite without loss.
inline double decay_time_of(double frequency, double loss_factor) {
  return loss_factor > 0 ? 3 * std::log(10.0) / (M_PI * loss_factor * frequency)
                         : std::numeric_limits<double>::infinity();
}

struct Mode {
  double frequency = 0;                ///< Hz
  double numerical_error = 0;          ///< estimated relative error of the frequency (the true one is lower)
  double check_shift = 0;              ///< relative shift against the finer check run; NaN when none was asked for
  double residual = 0;                 ///< |K x - lambda M x| / (lambda |M x|)
  double band_low = 0, band_high = 0;  ///< Hz, from the boards' tolerances
  double loss_factor = 0, quality = 0, decay_time = 0;
  double energy_frequency = 0, energy_loss_factor = 0;  ///< by the energy method; the same where that was used
  double damped_residual = 0;                           ///< of the complex eigenproblem, 0 where it was not solved
  std::vector<double> loss_share;                       ///< of the loss per ModalResult::loss_parts, sums to 1
  double net_volume = 0;  ///< m3 per sqrt(kg): surface integral of the outward displacement of the outer walls
  double net_share = 0;   ///< |integral of u.n| / integral of |u.n|: 1 = all walls move outwards together, 0 = cancels
  std::vector<double> energy_share;  ///< strain energy per board, sums to 1
  std::string label;
};

/// Sensitivities of one frequency: relative change of frequency per relative change of the parameter.
struct Sensitivity {
  std::string parameter;         ///< e.g. "modulus of mdf", "thickness of baffle"
  double tolerance = 0;          ///< relative tolerance of the parameter
  std::vector<double> per_mode;  ///< d ln f / d ln p
};

struct BoardSummary {
  std::string name, role, material;
  double mass = 0, volume = 0;  ///< kg, m3 (as meshed)
};

struct SolveReport {
  int dofs = 0, cells = 0, degree = 0;
  int rigid_modes = 0;     ///< found and left out of the table
  double up_to = 0;        ///< Hz
  int counted_below = -1;  ///< eigenvalues below up_to by the inertia of the shifted matrix, rigid ones included
  double mass = 0, mass_expected = 0, volume = 0, volume_expected = 0;
  double least_jacobian = 0;  ///< least scaled Jacobian of the mesh, 1 = brick
  bool tetrahedra = false;
  std::string why_tetrahedra;  ///< where there are any, in words that follow "because"
  double seconds_mesh = 0, seconds_assemble = 0, seconds_factorise = 0, seconds_eigen = 0, seconds_damped = 0,
         seconds_rest = 0;
  double seconds_files = 0;                       ///< of the variant's own files, where they were written
  std::vector<std::string> includes, leaves_out;  ///< effects in and not in the figures
  std::vector<std::string> notes;
};

/// All of one variant.
struct ModalResult {
  std::string case_name, variant_name;
  double mass = 0;          ///< kg, boards and fittings
  double inner_volume = 0;  ///< m3, 0 when there is no cabinet
  std::vector<BoardSummary> boards;
  std::vector<Mode> modes;
  std::vector<std::string> loss_parts;  ///< what the loss comes from: "board: material", or a bond
  bool exact_damping = false;           ///< loss factors from the complex eigenproblem, not the energy method
  std::vector<Sensitivity> sensitivities;
  ModalField field;
  std::vector<FaceSamples> faces;
  SolveReport report;
};

}  // namespace stillbox
