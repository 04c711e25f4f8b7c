// SPDX-License-Identifier: MIT
#include "solver/drive_sound.h"

#include <algorithm>
#include <cmath>

namespace stillbox {
namespace {

using Complex = std::complex<double>;

// Walls are counted through; a box has six, also where one is missing.
int sound_wall_count(const SurfaceMesh &mesh) {
  int count = 6;
  for (const int w : mesh.wall) count = std::max(count, w + 1);
  return count;
}

// The part of the patterns' velocities that belongs to one wall, or to pistons (-1).
Eigen::VectorXcd only(const OutsidePatterns &p, const Eigen::VectorXcd &v, int wall) {
  Eigen::VectorXcd part = v;
  for (int i = 0; i < part.size(); ++i)
    if (p.basis_wall[i] != wall) part[i] = 0;
  return part;
}

SoundPart part_of(const DriveRadiation &r, const OutsideAir &air, const Eigen::VectorXcd &v) {
  const double power = std::max(0.0, v.dot(r.pattern_resistance.cast<Complex>() * v).real());
  return {(r.transfer * v)(0), std::sqrt(power * air.density * air.speed / (4 * M_PI))};
}

}  // namespace

DriveRadiation drive_radiation(const OutsidePatterns &p, const SoundSweep &sweep, double frequency) {
  const ShapeSound s = sound_at(sweep, frequency);
  DriveRadiation r;
  r.pattern_resistance = s.impedance.real();
  r.transfer = s.transfer.row(0);
  const int motions = int(p.map.cols()), free = int(p.pistons.cols());
  r.impedance.resize(motions, motions);
  r.impedance.real() = p.map.transpose() * s.impedance.real() * p.map;
  r.impedance.imag() = p.map.transpose() * s.impedance.imag() * p.map;
  for (int i = motions - free; i < motions; ++i) r.impedance(i, i) = r.impedance(i, i).real();
  return r;
}

DriveSound drive_sound(const OutsidePatterns &p, const DriveRadiation &r, const ForcedAnswer &answer,
                       const OutsideAir &air) {
  const Complex iw(0, 2 * M_PI * answer.frequency);
  const int free = int(p.pistons.cols()), shapes = int(p.shapes.cols()), cones = int(answer.current.size());
  const Eigen::VectorXcd velocity = iw * answer.motions;
  const Eigen::VectorXcd v = p.map.cast<Complex>() * velocity;
  DriveSound s;
  s.frequency = answer.frequency;
  Eigen::VectorXcd walls = v, cone_part = only(p, v, -1), port_part = cone_part;
  walls.tail(free).setZero();
  cone_part.tail(free - cones).setZero();
  port_part.tail(free).head(cones).setZero();
  s.walls = part_of(r, air, walls);
  s.cones = part_of(r, air, cone_part);
  s.ports = part_of(r, air, port_part);
  s.driver = part_of(r, air, only(p, v, -1));
  s.total = part_of(r, air, v);
  const int walls_count = int(sound_wall_count(p.mesh));
  for (int w = 0; w < walls_count; ++w) s.wall.push_back(part_of(r, air, only(p, v, w)));
  s.shape = (r.transfer * p.map.leftCols(shapes)).cwiseProduct(velocity.head(shapes).transpose());
  s.shape_sphere =
      (r.impedance.diagonal().head(shapes).real().cwiseMax(0.0).cwiseProduct(velocity.head(shapes).cwiseAbs2()) *
       (air.density * air.speed / (4 * M_PI)))
          .cwiseSqrt();
  const Eigen::VectorXcd elements = p.shapes * velocity.head(shapes);
  const Eigen::VectorXd moved = Eigen::VectorXd::Ones(elements.size()) - p.pistons.rowwise().sum();
  Eigen::VectorXd square = Eigen::VectorXd::Zero(walls_count), area = Eigen::VectorXd::Zero(walls_count);
  for (int e = 0; e < elements.size(); ++e) {
    square[p.mesh.wall[e]] += p.mesh.areas[e] * std::norm(elements[e]);
    area[p.mesh.wall[e]] += p.mesh.areas[e] * std::max(moved[e], 0.0);
  }
  s.wall_velocity = square.cwiseQuotient(area.cwiseMax(1e-12)).cwiseSqrt();
  s.net_volume_pressure =
      std::abs(monopole_pressure(air, answer.frequency, p.mesh.areas.cast<Complex>().dot(elements), 1));
  return s;
}

double radiation_loss(const DriveRadiation &r, int shape, double frequency) {
  return r.impedance(shape, shape).real() / (2 * M_PI * frequency);
}

}  // namespace stillbox
