// SPDX-License-Identifier: MIT
#include "solver/damped_modes.h"
#include "solver/locate.h"
#include "solver/lossy_parts.h"
#include "solver/place_model.h"

namespace stillbox {

Eigen::SparseMatrix<double> wall_samples(const Model &m) {
  constexpr int side = 4;
  std::vector<Eigen::Triplet<double>> entries;
  int column = 0;
  for (std::size_t b = 0; b < m.structure->boards.size(); ++b) {
    const Board &board = m.structure->boards[b];
    if (board.role != BoardRole::wall && board.role != BoardRole::free) continue;
    const Locator locator(m.mesh, m.discretisation, int(b));
    const auto [low, high] = outline_bounds(board);
    for (int j = 0; j < side; ++j)
      for (int i = 0; i < side; ++i, ++column) {
        const Eigen::Vector2d part((i + 0.5) / side, (j + 0.5) / side);
        const Eigen::Vector2d at = low + part.cwiseProduct(high - low);
        const auto found = locator.find(board.at(at.x(), at.y(), board.thickness()));
        if (!found) continue;
        const Eigen::VectorXd shape = shape_values(m.discretisation, found->xi);
        Eigen::VectorXd load(3 * shape.size());
        for (int a = 0; a < shape.size(); ++a) load.segment<3>(3 * a) = shape[a] * board.normal();
        const CellUnknowns cell = cell_unknowns(m.unknowns, m.discretisation, found->cell);
        Eigen::VectorXd on_list = Eigen::VectorXd::Zero(Eigen::Index(cell.list.size()));
        if (cell.plain)
          for (std::size_t k = 0; k < cell.position.size(); ++k) on_list[cell.position[k]] += load[Eigen::Index(k)];
        else
          on_list = cell.T.transpose() * load;
        for (std::size_t k = 0; k < cell.list.size(); ++k)
          if (on_list[Eigen::Index(k)] != 0) entries.emplace_back(cell.list[k], column, on_list[Eigen::Index(k)]);
      }
  }
  Eigen::SparseMatrix<double> columns(m.unknowns.count, column);
  columns.setFromTriplets(entries.begin(), entries.end());
  return columns;
}

PlaceModes place_modes_in_full(const Structure &s, const SolveOptions &options) {
  SolveReport report;
  Model m = build_model(s, options, report);
  const Spectrum spectrum = solve_spectrum(m, options, report);
  PlaceModes modes;
  const int count = int(spectrum.elastic.values.size());
  modes.frequency.resize(count);
  modes.loss_factor.resize(count);
  const std::vector<DampedMode> damped = energy_modes(make_damped_problem(m), spectrum.elastic);
  for (int i = 0; i < count; ++i) {
    modes.frequency[i] = std::sqrt(spectrum.elastic.values[i]) / (2 * M_PI);
    modes.loss_factor[i] = damped[i].loss_factor;
  }
  modes.samples = wall_samples(m).transpose() * spectrum.elastic.vectors;
  return modes;
}

}  // namespace stillbox
