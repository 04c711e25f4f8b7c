// SPDX-License-Identifier: MIT
#include "postprocess/riding_modes.h"

#include <algorithm>

namespace stillbox {
namespace {

template <class T>
void keep_only(std::vector<T> &list, const std::vector<int> &kept) {
  if (list.empty()) return;
  std::vector<T> out;
  for (int m : kept) out.push_back(std::move(list[std::size_t(m)]));
  list.swap(out);
}

template <class Matrix>
void keep_columns(Matrix &m, const std::vector<int> &kept) {
  Matrix out(m.rows(), Eigen::Index(kept.size()));
  for (std::size_t c = 0; c < kept.size(); ++c) out.col(Eigen::Index(c)) = m.col(kept[c]);
  m.swap(out);
}

}  // namespace

double wood_share(const ModalResult &result, std::size_t mode) {
  double sum = 0;
  for (const Sensitivity &s : result.sensitivities)
    if (s.parameter.rfind("modulus of ", 0) == 0) sum += s.per_mode[mode];
  return 2 * sum;
}

std::vector<int> riding_modes(const Structure &structure, const ModalResult &result) {
  std::vector<int> list;
  if (structure.feet.empty()) return list;
  for (std::size_t m = 0; m < result.modes.size(); ++m)
    if (wood_share(result, m) < 0.5) list.push_back(int(m));
  return list;
}

std::vector<double> take_out_modes(KnockSolution &solution, const std::vector<int> &modes) {
  std::vector<double> frequencies;
  std::vector<int> kept;
  for (int m = 0; m < int(solution.modes.modes.size()); ++m) {
    if (std::find(modes.begin(), modes.end(), m) == modes.end())
      kept.push_back(m);
    else
      frequencies.push_back(solution.modes.modes[std::size_t(m)].frequency);
  }
  if (frequencies.empty()) return frequencies;
  keep_only(solution.modes.modes, kept);
  keep_only(solution.modes.field.shapes, kept);
  for (FaceSamples &face : solution.modes.faces) keep_only(face.normal, kept);
  for (Sensitivity &s : solution.modes.sensitivities) keep_only(s.per_mode, kept);
  solution.modes.report.rigid_modes += int(frequencies.size());
  Eigen::VectorXcd poles(Eigen::Index(kept.size()));
  for (std::size_t k = 0; k < kept.size(); ++k) poles[Eigen::Index(k)] = solution.model.poles[kept[k]];
  solution.model.poles.swap(poles);
  keep_columns(solution.model.shapes, kept);
  keep_columns(solution.model.volume, kept);
  return frequencies;
}

}  // namespace stillbox
