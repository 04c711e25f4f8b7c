// SPDX-License-Identifier: MIT
#include "solver/inside_labels.h"

#include <cmath>

#include "solver/assembly.h"

namespace stillbox {
namespace {

struct CosineWave {
  std::array<int, 3> order;
  Eigen::VectorXd values;
};

std::vector<CosineWave> cosine_waves(const InsideField &f, const CabinetFrame &frame, double k_top) {
  const Eigen::Vector3d size = frame.inner_high - frame.inner_low;
  std::array<int, 3> most{};
  for (int a = 0; a < 3; ++a) most[a] = int(std::ceil(k_top * size[a] / M_PI)) + 1;
  const auto &x = f.in_box;
  std::array<std::vector<Eigen::VectorXd>, 3> tables;
  for (int a = 0; a < 3; ++a)
    for (int n = 0; n <= most[a]; ++n)
      tables[a].push_back((n * M_PI / size[a] * (x.col(a).array() - frame.inner_low[a])).cos());
  std::vector<CosineWave> list;
  for (int l = 0; l <= most[0]; ++l)
    for (int m = 0; m <= most[1]; ++m)
      for (int n = 0; n <= most[2]; ++n) {
        const double k2 =
            std::pow(l * M_PI / size[0], 2) + std::pow(m * M_PI / size[1], 2) + std::pow(n * M_PI / size[2], 2);
        // What is inside lowers frequencies: waves somewhat above are candidates, too.
        if (l + m + n == 0 || k2 > 4 * k_top * k_top) continue;
        list.push_back({{l, m, n}, tables[0][l].cwiseProduct(tables[1][m]).cwiseProduct(tables[2][n])});
      }
  return list;
}

std::string wave_words(const std::array<int, 3> &order) {
  static const char *ways[] = {"left-right", "front-back", "top-bottom"};
  std::string text;
  for (int a = 0; a < 3; ++a)
    if (order[a] > 0) text += (text.empty() ? "" : " and ") + std::string(ways[a]) + ", " + std::to_string(order[a]);
  return "standing wave " + text;
}

}  // namespace

std::vector<std::string> standing_wave_labels(const InsideField &f) {
  std::vector<std::string> labels;
  for (int i = 0; i < f.chambers; ++i)
    labels.push_back(f.chambers == 1 ? "even pressure" : "even pressure, chamber " + std::to_string(i + 1));
  if (f.standing == f.chambers) return labels;
  const Eigen::MatrixXd MV = multiply(f.mass, f.shapes.leftCols(f.standing));
  const Eigen::VectorXd lumped = multiply(f.mass, Eigen::VectorXd::Ones(f.mass.rows()));
  const double k_top = std::sqrt(f.squares.head(f.standing).maxCoeff());
  std::vector<double> best(f.standing, -1);
  std::vector<std::array<int, 3>> order(f.standing);
  for (const CosineWave &wave : cosine_waves(f, f.mesh.frame, k_top)) {
    const double norm = lumped.dot(wave.values.cwiseAbs2());
    const Eigen::VectorXd share = (MV.transpose() * wave.values).cwiseAbs2() / norm;
    for (int i = f.chambers; i < f.standing; ++i)
      if (share[i] > best[i]) {
        best[i] = share[i];
        order[i] = wave.order;
      }
  }
  for (int i = f.chambers; i < f.standing; ++i)
    labels.push_back((best[i] < 0.5 ? "much changed by what is inside, most like " : "") + wave_words(order[i]));
  return labels;
}

}  // namespace stillbox
