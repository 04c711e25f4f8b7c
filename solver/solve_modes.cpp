// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "solver/blas_threads.h"
#include "solver/energies.h"
#include "solver/error_estimate.h"
#include "solver/face_samples.h"
#include "solver/labels.h"
#include "solver/lossy_parts.h"
#include "solver/modes.h"
#include "solver/parked_matrix.h"
#include "solver/rank_spectrum.h"
#include "solver/ranks.h"
#include "solver/stopwatch.h"

namespace stillbox {
namespace {

// d ln f / d ln p for the moduli and density of each material and each stock's thickness.
std::vector<Sensitivity> sensitivities_of(const Model &m, const Energies &e, const std::vector<ThicknessGroup> &groups,
                                          const Eigen::VectorXd &lambda) {
  const Structure &s = *m.structure;
  const int modes = int(lambda.size());
  std::vector<Sensitivity> list;
  for (std::size_t material = 0; material < s.materials.size(); ++material) {
    Sensitivity modulus{"modulus of " + s.materials[material].name, s.materials[material].modulus_tolerance, {}};
    Sensitivity density{"density of " + s.materials[material].name, s.materials[material].density_tolerance, {}};
    bool used = false;
    for (int i = 0; i < modes; ++i) {
      double strain = 0, kinetic = 0;
      for (std::size_t l = 0; l < m.laws.layers.size(); ++l) {
        if (m.laws.layers[l].material != int(material)) continue;
        used = true;
        strain += e.strain(l, i);
        kinetic += e.kinetic(l, i);
      }
      modulus.per_mode.push_back(strain / lambda[i] / 2);
      density.per_mode.push_back(-kinetic / 2);
    }
    if (!used) continue;
    list.push_back(modulus);
    list.push_back(density);
  }
  for (std::size_t g = 0; g < groups.size(); ++g) {
    Sensitivity thickness{groups[g].name, groups[g].tolerance / groups[g].thickness, {}};
    for (int i = 0; i < modes; ++i) thickness.per_mode.push_back(e.stretch(g, i) / lambda[i] / 2);
    list.push_back(thickness);
  }
  return list;
}

// Root of the sum of squares: boards of one material share its moduli and density, different stocks are independent.
double relative_band(const std::vector<Sensitivity> &list, int mode) {
  double sum = 0;
  for (const Sensitivity &s : list) sum += std::pow(s.per_mode[mode] * s.tolerance, 2);
  return std::sqrt(sum);
}

void state_effects(const Structure &s, SolveReport &report) {
  report.includes = {s.boards.size() > 1 ? "boards, braces and joints as glued continuous wood"
                                         : "the board as an elastic solid"};
  bool sheet = false;
  for (const Board &b : s.boards) sheet = sheet || b.role == BoardRole::sheet || b.layers.size() > 1;
  if (sheet) report.includes.push_back("damping sheets and laminates as layers");
  if (!s.rim_masses.empty()) report.includes.push_back("the drivers' mass (and basket where it is called rigid)");
  if (!s.area_masses.empty() || !s.point_masses.empty()) report.includes.push_back("added masses");
  if (!s.feet.empty()) report.includes.push_back("feet as lossless springs");
  if (!s.bonds.empty()) {
    report.includes[0] = "boards, braces and joints as glued continuous wood, joints with a bond as springs";
    report.includes.push_back("losses in the joints that have a bond");
  }
  report.leaves_out = {"the air inside and its standing waves", "radiation", "lining",
                       s.bonds.empty() ? "losses in the joints" : "losses in the glued joints",
                       "what the drivers do besides their mass"};
  if (s.solids && !report.tetrahedra) report.notes.push_back("Meshed with hexahedra, as a box is.");
  if (report.tetrahedra)
    report.notes.push_back("Meshed with tetrahedra, because " + report.why_tetrahedra +
                           "; beside joints these err more than hexahedra, always towards too high: see the column of "
                           "mesh errors.");
  if (!s.cabinet && !s.solids) report.leaves_out = {"the air around", "losses in the supports"};
}

std::vector<BoardSummary> board_summaries(const Structure &s) {
  const Volumes volumes = volumes_of(s);
  std::vector<BoardSummary> list;
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    static const char *roles[] = {"wall", "brace", "sheet", "free"};
    std::string materials;
    for (const Layer &layer : s.boards[b].layers)
      materials += (materials.empty() ? "" : " / ") + s.materials[layer.material].name;
    list.push_back(
        {s.boards[b].name, roles[int(s.boards[b].role)], materials, volumes.board_mass[b], volumes.board[b]});
  }
  return list;
}

// A model with its spectrum; under mpirun all processes find the spectrum together, and the first has the shapes and
// then the matrices, too, where they are wanted for what follows.
struct Solved {
  Model model;
  Spectrum spectrum;
};

Solved solve(const Structure &s, const SolveOptions &options, SolveReport &report, const SpectrumExtras &extras,
             bool wants_matrices) {
  Solved solved;
  Model &m = solved.model;
  if (started_by_mpirun()) {
    m = prepare_model(s, options, report);
    solved.spectrum = solve_spectrum_on_ranks(m, options, report);
    if (wants_matrices && own_rank() == 0) m.system = assemble(s, m.mesh, m.discretisation, m.unknowns, m.laws);
  } else {
    m = build_model(s, options, report);
    solved.spectrum = solve_spectrum(m, options, report, extras);
  }
  return solved;
}

// Relative shifts of the frequencies when the degree rises by one on the same mesh.
void check_with_higher_degree(const Structure &s, const SolveOptions &options, ModalResult &result) {
  SolveOptions finer = options;
  finer.degree = result.report.degree + 1;
  finer.check_run = false;
  SolveReport report;
  const Spectrum spectrum = solve(s, finer, report, {}, false).spectrum;
  for (std::size_t i = 0; i < result.modes.size(); ++i) {
    result.modes[i].check_shift = std::numeric_limits<double>::quiet_NaN();
    if (int(i) < spectrum.elastic.values.size())
      result.modes[i].check_shift = std::sqrt(spectrum.elastic.values[i]) / (2 * M_PI) / result.modes[i].frequency - 1;
  }
}

// The layers' strain energies with those of the bonds below.
Eigen::MatrixXd with_bonds(const Model &m, const Eigen::MatrixXd &layers,
                           const std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> &shapes) {
  if (m.structure->bonds.empty()) return layers;
  Eigen::MatrixXd all(layers.rows() + Eigen::Index(m.structure->bonds.size()), layers.cols());
  all << layers, bond_energies(*m.structure, m.system.bonds, shapes);
  return all;
}

struct Damped {
  std::vector<DampedMode> energy, modes;
  Eigen::MatrixXd strain;  // layers and bonds x modes: x^H K_part x of the exact modes, empty when not sought
};

Damped find_damped(Model &m, const SolveOptions &options, Spectrum &spectrum, ModalResult &result,
                   const SolvedVisitor &visit) {
  Damped damped;
  Stopwatch watch;
  try {
    ParkedMatrix stiffness(m.system.stiffness);  // the largest there is, while those of the parts come
    SparseMatrix().swap(m.system.stiffness);
    DampedProblem problem = make_damped_problem(m);
    damped.energy = damped.modes = energy_modes(problem, spectrum.elastic);
    constexpr double much = 0.02;  // what the two ways may differ by before the exact one is used
    if (options.damping == Damping::where_needed && !result.exact_damping)
      result.exact_damping = energy_method_error(problem, spectrum.elastic, damped.energy) > much;
    if (result.exact_damping || visit) stiffness.take(m.system.stiffness);
    if (result.exact_damping) {
      DampedOptions damped_options;
      if (options.progress)
        damped_options.progress = [&](int done, int of) {
          options.progress("damped modes: " + std::to_string(done) + " of " + std::to_string(of));
        };
      if (!spectrum.factor) spectrum.factor = factor_shifted(m, std::pow(2 * M_PI * options.up_to, 2));
      damped.modes = exact_modes(problem, *spectrum.factor, spectrum.elastic, damped.energy, damped_options);
      spectrum.factor.reset();
      std::vector<Eigen::Matrix<double, Eigen::Dynamic, 3>> parts;
      for (const DampedMode &mode : damped.modes)
        parts.push_back(expand(m.unknowns, m.discretisation, mode.shape.real()));
      for (const DampedMode &mode : damped.modes)
        parts.push_back(expand(m.unknowns, m.discretisation, mode.shape.imag()));
      const int modes = int(damped.modes.size());
      const Energies e = modal_energies(m, parts, Eigen::VectorXd::Zero(2 * modes), {});
      const Eigen::MatrixXd strain = with_bonds(m, e.strain, parts);
      damped.strain = strain.leftCols(modes) + strain.rightCols(modes);
    }
    if (visit) visit(m, spectrum, damped.modes);
    for (DampedMode &mode : damped.modes) mode.shape.resize(0);
  } catch (const std::domain_error &error) {
    throw SolveError(std::string("the loss factors cannot be found: ") + error.what());
  }
  for (const LayerLaw &law : m.laws.layers)
    result.loss_parts.push_back(m.structure->boards[law.board].name + ": " + m.structure->materials[law.material].name);
  for (const Bond &bond : m.structure->bonds) result.loss_parts.push_back("joint: " + bond.name);
  result.report.seconds_damped += watch.lap();
  return damped;
}

// The part of the loss of each layer and bond: Im of its scale times its strain energy.
std::vector<double> loss_shares(const Model &m, const Eigen::VectorXd &strain, double frequency) {
  std::vector<double> shares;
  double sum = 0;
  const int layers = int(m.laws.layers.size());
  for (int l = 0; l < strain.size(); ++l) {
    const double loss = l < layers ? layer_scale(m, l, frequency).imag() : m.structure->bonds[l - layers].loss_factor;
    shares.push_back(loss * strain[l]);
    sum += shares.back();
  }
  if (sum > 0)
    for (double &share : shares) share /= sum;
  return shares;
}

}  // namespace

ModalResult solve_modes(const Structure &s, const SolveOptions &options, const SolvedVisitor &visit) {
  ModalResult result;
  result.case_name = s.case_name;
  result.variant_name = s.variant_name;
  constexpr int most_above = 100;  // modes above the top frequency that help with the exact damping
  result.exact_damping = has_exact_damping(options.damping, s);
  Solved solved = solve(s, options, result.report, {result.exact_damping, result.exact_damping ? most_above : 0}, true);
  Model &m = solved.model;
  Spectrum &spectrum = solved.spectrum;
  if (own_rank() > 0) {  // the first process does the rest
    if (options.check_run) check_with_higher_degree(s, options, result);
    return result;
  }
  const Damped damped = find_damped(m, options, spectrum, result, visit);
  SparseMatrix().swap(m.system.stiffness);  // by far the largest there is, and not needed any more
  SparseMatrix().swap(m.system.mass);
  const OneBlasThread one_thread;
  Stopwatch watch;
  if (options.progress) options.progress("energies and shapes");
  const Eigen::VectorXd &lambda = spectrum.elastic.values;
  const int modes = int(lambda.size());
  auto &shapes = result.field.shapes;
  for (int i = 0; i < modes; ++i)
    shapes.push_back(expand(m.unknowns, m.discretisation, spectrum.elastic.vectors.col(i)));

  const std::vector<ThicknessGroup> groups = thickness_groups(s);
  const Energies e = modal_energies(m, shapes, lambda, groups);
  const Eigen::MatrixXd strain = damped.strain.size() > 0 ? damped.strain : with_bonds(m, e.strain, shapes);
  const Eigen::VectorXd error = stress_jump_error(m, shapes, lambda);
  result.sensitivities = sensitivities_of(m, e, groups, lambda);
  result.faces = sample_faces(m, shapes);
  const Eigen::VectorXd net = net_volumes(m, shapes);
  for (int i = 0; i < modes; ++i) {
    Mode mode;
    mode.frequency = damped.modes[i].frequency;
    mode.energy_frequency = damped.energy[i].frequency;
    mode.energy_loss_factor = damped.energy[i].loss_factor;
    mode.damped_residual = damped.modes[i].residual;
    mode.numerical_error = error[i];
    mode.check_shift = std::numeric_limits<double>::quiet_NaN();
    mode.residual = spectrum.residuals[i];
    mode.energy_share.assign(s.boards.size(), 0);
    double wood = 0;
    for (std::size_t l = 0; l < m.laws.layers.size(); ++l) {
      mode.energy_share[m.laws.layers[l].board] += e.strain(l, i);
      wood += e.strain(l, i);
    }
    for (double &share : mode.energy_share) share /= wood;
    mode.loss_factor = damped.modes[i].loss_factor;
    mode.loss_share = loss_shares(m, strain.col(i), mode.frequency);
    mode.quality = mode.loss_factor > 0 ? 1 / mode.loss_factor : std::numeric_limits<double>::infinity();
    mode.decay_time = decay_time_of(mode.frequency, mode.loss_factor);
    const double band = relative_band(result.sensitivities, i);
    mode.band_low = mode.frequency * std::exp(-band);
    mode.band_high = mode.frequency * std::exp(band);
    mode.net_volume = net[i];
    mode.net_share = net_share(result.faces, net[i], i);
    mode.label = mode_label(result.faces, mode.energy_share, i);
    result.modes.push_back(mode);
  }
  result.mass = result.report.mass;
  result.inner_volume = volumes_of(s).inner;
  result.boards = board_summaries(s);
  state_effects(s, result.report);
  result.field.degree = m.discretisation.degree;
  result.field.knots = m.discretisation.knots;
  result.field.tetrahedron = m.discretisation.reference;
  result.field.points = m.discretisation.points;
  result.field.cells = m.discretisation.cells;
  for (const HexCell &cell : m.mesh.cells) {
    result.field.cell_board.push_back(cell.board);
    result.field.cell_material.push_back(material_of(s.boards[cell.board], cell.layer));
  }
  result.report.seconds_rest += watch.lap();
  if (options.check_run) check_with_higher_degree(s, options, result);
  return result;
}

}  // namespace stillbox
