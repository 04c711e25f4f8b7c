// SPDX-License-Identifier: MIT
#pragma once
#include <algorithm>
#include <cmath>
#include <complex>
#include <string>
#include <vector>

#include "solver/knock_model.h"
#include "tests/postprocess/sample_results.h"

namespace stillbox::test {

/// The pole of a mode with hysteretic damping: p = i w sqrt(1 + i eta).
inline std::complex<double> pole_of(double frequency, double loss_factor) {
  return std::complex<double>(0, 2 * pi * frequency) * std::sqrt(std::complex<double>(1, loss_factor));
}

/// An invented cabinet whose six walls ring on their own as thin simply supported plates of board, 18 mm, 3.5 GPa, 750
/// kg/m3, Poisson's ratio 0.3 (closed form): frequencies pi/2 sqrt(D / (rho h)) (m^2/a^2 + n^2/b^2), times `stiffer`;
/// shapes 2 / sqrt(mass) sin sin; volume 8 a b / (pi^2 m n sqrt(mass)) for odd m, n. `side` x `side` points a wall.
struct KnockSample {
  KnockModel model;
  ModalResult result;
};

inline KnockSample plate_box(const std::string &variant, double loss_factor, double stiffer = 1, int side = 6,
                             double up_to = 1500) {
  constexpr double h = 0.018, density = 750, rigidity = 3.5e9 * h * h * h / (12 * (1 - 0.09));
  KnockSample out;
  out.result = make_cabinet(variant, {});
  KnockModel &model = out.model;
  model.case_name = out.result.case_name;
  model.variant_name = variant;
  model.up_to = up_to;

  struct PlateMode {
    double frequency;
    std::size_t face;
    int m, n;
  };
  std::vector<PlateMode> modes;
  for (std::size_t f = 0; f < out.result.faces.size(); ++f) {
    const FaceSamples &face = out.result.faces[f];
    model.walls.push_back(face.board);
    model.wall_area.push_back(face.size.prod());
    for (int i = 0; i < side; ++i)
      for (int j = 0; j < side; ++j) {
        const Eigen::Vector2d place(face.size[0] * (i + 0.5) / side, face.size[1] * (j + 0.5) / side);
        model.points.push_back(
            {int(f), place, face.origin + place[0] * face.u + place[1] * face.v, face.u.cross(face.v)});
      }
    for (int m = 1; m < 20; ++m)
      for (int n = 1; n < 20; ++n) {
        const double frequency = stiffer * pi / 2 * std::sqrt(rigidity / (density * h)) *
                                 (std::pow(m / face.size[0], 2) + std::pow(n / face.size[1], 2));
        if (frequency <= up_to) modes.push_back({frequency, f, m, n});
      }
  }
  std::sort(modes.begin(), modes.end(), [](const auto &a, const auto &b) { return a.frequency < b.frequency; });

  const auto count = Eigen::Index(modes.size()), points = Eigen::Index(model.points.size());
  model.poles.resize(count);
  model.shapes = Eigen::MatrixXcd::Zero(points, count);
  model.volume = Eigen::MatrixXcd::Zero(Eigen::Index(model.walls.size()), count);
  for (Eigen::Index k = 0; k < count; ++k) {
    const PlateMode &mode = modes[std::size_t(k)];
    const Eigen::Vector2d size = out.result.faces[mode.face].size;
    const double norm = 2 / std::sqrt(density * h * size.prod());
    model.poles[k] = pole_of(mode.frequency, loss_factor);
    for (Eigen::Index p = 0; p < points; ++p) {
      const KnockPoint &point = model.points[std::size_t(p)];
      if (point.face != int(mode.face)) continue;
      model.shapes(p, k) =
          norm * std::sin(mode.m * pi * point.place[0] / size[0]) * std::sin(mode.n * pi * point.place[1] / size[1]);
    }
    if (mode.m % 2 == 1 && mode.n % 2 == 1)
      model.volume(Eigen::Index(mode.face), k) = norm * size.prod() * 4 / (pi * pi * mode.m * mode.n);
    out.result.modes.push_back(make_mode(mode.frequency, "plate"));
  }
  model.rigid = Eigen::MatrixXd::Constant(points, 1, 1 / std::sqrt(out.result.mass));
  model.residual = Eigen::MatrixXd::Identity(points, points) * 1e-8;
  model.rigid_volume = Eigen::MatrixXd::Zero(Eigen::Index(model.walls.size()), 1);
  model.residual_volume = Eigen::MatrixXd::Zero(Eigen::Index(model.walls.size()), points);
  return out;
}

/// Only the modes numbered `keep`.
inline KnockSample only_modes(KnockSample sample, const std::vector<int> &keep) {
  sample.model.poles = Eigen::VectorXcd(sample.model.poles(keep));
  sample.model.shapes = Eigen::MatrixXcd(sample.model.shapes(Eigen::all, keep));
  sample.model.volume = Eigen::MatrixXcd(sample.model.volume(Eigen::all, keep));
  std::vector<Mode> modes;
  for (const int k : keep) modes.push_back(sample.result.modes[std::size_t(k)]);
  sample.result.modes = modes;
  return sample;
}

}  // namespace stillbox::test
