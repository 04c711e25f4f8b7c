// SPDX-License-Identifier: MIT
#pragma once
#include <functional>
#include <memory>
#include <string>

#include "solver/assembly.h"
#include "solver/block_lanczos.h"
#include "solver/modal_result.h"

namespace stillbox {

struct SolveOptions {
  double up_to = 1000;  ///< Hz
  double fineness = 1;
  int degree = 3;
  Damping damping = Damping::where_needed;
  bool check_run = false;  ///< solve again with one degree more and report each frequency's shift
  std::function<void(const std::string &)> progress;
  std::function<void(int unknowns)> meshed;  ///< called when the mesh is made, before the long work
};

/// Everything between the mesh and the numbers, kept so that later steps (energies, sensitivities, files) can use it.
struct Model {
  const Structure *structure = nullptr;
  HexMesh mesh;
  Discretisation discretisation;
  Unknowns unknowns;
  CellLaws laws;
  System system;
};

/// Meshes and numbers: a model whose matrices are still to be made. Errors: MeshError, SolveError.
Model prepare_model(const Structure &structure, const SolveOptions &options, SolveReport &report);

/// What of a system goes into the report. Errors: SolveError when masses and volumes are not those of the description.
void report_system(const Model &model, const SolveOptions &options, SolveReport &report);

/// Meshes, numbers and assembles. Errors: MeshError, SolveError.
Model build_model(const Structure &structure, const SolveOptions &options, SolveReport &report);

/// All eigenpairs below `up_to`: rigid ones apart, elastic ones with the count proved by inertia.
struct Spectrum {
  EigenPairs elastic;
  int rigid = 0;
  Eigen::MatrixXd rigid_motions;  ///< M-orthonormal columns: rigid motions, of loose parts too
  int counted_below = 0;          ///< negative pivots of K - (2 pi up_to)^2 M
  Eigen::VectorXd residuals;
  std::unique_ptr<SparseFactor> factor;  ///< of K - (2 pi up_to)^2 M, when it was asked to be kept
};
/// What of a solution is kept besides the modes.
struct SpectrumExtras {
  bool factor = false;
  int most_above = 0;  ///< vectors of modes above the top frequency, in elastic.above: a basis for exact_modes
};
/// Errors: SolveError. The matrices are parked on disk while their memory is needed (parked_matrix.h).
Spectrum solve_spectrum(Model &model, const SolveOptions &options, SolveReport &report,
                        const SpectrumExtras &extras = {});

/// Parts that are not joined to the rest move freely too: rigid motions the six shifts and rotations do not contain.
/// Sets them, the first of the elastic pairs below `small`, apart with the motions `rigid`.
void set_rigid_apart(Spectrum &spectrum, const Eigen::MatrixXd &rigid, double small);

/// Factor of K - shift M. The stiffness matrix is shifted in place and back again: it changes by rounding only.
std::unique_ptr<SparseFactor> factor_shifted(Model &model, double shift);

struct DampedMode;
/// Shown what solve_modes found before it lets go of it; the damped modes have shapes where they are exact.
using SolvedVisitor = std::function<void(Model &, const Spectrum &, const std::vector<DampedMode> &)>;

/// The main job: one variant from boards to modes with everything that the outputs print. Under mpirun all processes
/// call it; the first gets the result, the others only what is in its report.
ModalResult solve_modes(const Structure &structure, const SolveOptions &options, const SolvedVisitor &visit = {});

}  // namespace stillbox
