// SPDX-License-Identifier: MIT
#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "solver/energies.h"
#include "solver/error_estimate.h"
#include "solver/face_samples.h"
#include "solver/labels.h"
#include "solver/modes.h"
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
  if (sheet) report.includes.push_back("damping sheets and laminates as layers, their loss by strain energy");
  if (!s.rim_masses.empty()) report.includes.push_back("the drivers' mass (and basket where it is called rigid)");
  if (!s.area_masses.empty() || !s.point_masses.empty()) report.includes.push_back("added masses");
  if (!s.feet.empty()) report.includes.push_back("feet as lossless springs");
  report.leaves_out = {"the air inside and its standing waves", "radiation", "lining", "losses in the joints",
                       "what the drivers do besides their mass"};
  if (!s.cabinet) report.leaves_out = {"the air around", "losses in the supports"};
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

// Relative shifts of the frequencies when the degree rises by one on the same mesh.
void check_with_higher_degree(const Structure &s, const SolveOptions &options, ModalResult &result) {
  SolveOptions finer = options;
  finer.degree = options.degree + 1;
  finer.check_run = false;
  SolveReport report;
  Model m = build_model(s, finer, report);
  const Spectrum spectrum = solve_spectrum(m, finer, report);
  for (std::size_t i = 0; i < result.modes.size(); ++i) {
    result.modes[i].check_shift = std::numeric_limits<double>::quiet_NaN();
    if (int(i) < spectrum.elastic.values.size())
      result.modes[i].check_shift = std::sqrt(spectrum.elastic.values[i]) / (2 * M_PI) / result.modes[i].frequency - 1;
  }
}

}  // namespace

ModalResult solve_modes(const Structure &s, const SolveOptions &options) {
  ModalResult result;
  result.case_name = s.case_name;
  result.variant_name = s.variant_name;
  Model m = build_model(s, options, result.report);
  const Spectrum spectrum = solve_spectrum(m, options, result.report);
  Stopwatch watch;
  if (options.progress) options.progress("energies and shapes");
  const Eigen::VectorXd &lambda = spectrum.elastic.values;
  const int modes = int(lambda.size());
  auto &shapes = result.field.shapes;
  for (int i = 0; i < modes; ++i)
    shapes.push_back(expand(m.unknowns, m.discretisation, spectrum.elastic.vectors.col(i)));

  const std::vector<ThicknessGroup> groups = thickness_groups(s);
  const Energies e = modal_energies(m, shapes, lambda, groups);
  const Eigen::VectorXd error = stress_jump_error(m, shapes, lambda);
  result.sensitivities = sensitivities_of(m, e, groups, lambda);
  result.faces = sample_faces(m, shapes);
  const Eigen::VectorXd net = net_volumes(m, shapes);
  for (int i = 0; i < modes; ++i) {
    Mode mode;
    mode.frequency = std::sqrt(lambda[i]) / (2 * M_PI);
    mode.numerical_error = error[i];
    mode.check_shift = std::numeric_limits<double>::quiet_NaN();
    mode.residual = spectrum.residuals[i];
    mode.energy_share.assign(s.boards.size(), 0);
    double loss = 0, wood = 0;
    for (std::size_t l = 0; l < m.laws.layers.size(); ++l) {
      mode.energy_share[m.laws.layers[l].board] += e.strain(l, i);
      loss += m.laws.layers[l].loss_factor * e.strain(l, i);
      wood += e.strain(l, i);
    }
    for (double &share : mode.energy_share) share /= wood;
    mode.loss_factor = loss / lambda[i];
    mode.quality = mode.loss_factor > 0 ? 1 / mode.loss_factor : std::numeric_limits<double>::infinity();
    // T60 = 3 ln 10 / (pi eta f): the time in which the amplitude exp(-pi eta f t) falls by 60 dB.
    mode.decay_time = mode.loss_factor > 0 ? 3 * std::log(10.0) / (M_PI * mode.loss_factor * mode.frequency)
                                           : std::numeric_limits<double>::infinity();
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
  result.field.degree = options.degree;
  result.field.points = m.discretisation.points;
  result.field.cells = m.discretisation.cells;
  for (const HexCell &cell : m.mesh.cells) {
    result.field.cell_board.push_back(cell.board);
    result.field.cell_material.push_back(s.boards[cell.board].layers[cell.layer].material);
  }
  result.report.seconds_rest += watch.lap();
  if (options.check_run) check_with_higher_degree(s, options, result);
  return result;
}

}  // namespace stillbox
