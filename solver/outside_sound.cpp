// SPDX-License-Identifier: MIT
#include "solver/outside_sound.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/discretisation.h"
#include "solver/outside_elements.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr int inside_points = 60;
constexpr double inside_weight = 1;  // of all inside equations together against all those on the surface
constexpr int block = 64;            // rows at a time
using Complex = std::complex<double>;

// Halton's sequence: digits of i in this base, mirrored at the point.
double halton(int i, int base) {
  double value = 0, part = 1;
  for (; i > 0; i /= base) value += (part /= base) * (i % base);
  return value;
}

// Points spread evenly over the inside, none nearer to an element's middle than its size (or, in a body too thin for
// that, than half, a quarter ...).
Eigen::Matrix<double, Eigen::Dynamic, 3> points_inside(const SurfaceMesh &mesh, const ElementIntegrator &integrator) {
  const Eigen::Vector3d low = mesh.nodes.colwise().minCoeff(), high = mesh.nodes.colwise().maxCoeff();
  Eigen::Matrix<double, Eigen::Dynamic, 3> points(inside_points, 3);
  int found = 0;
  double clear = 1;
  for (int i = 1; found < inside_points && clear > 0.01; ++i) {
    if (i % 1000 == 0) clear /= 2;
    const Eigen::Vector3d part(halton(i, 2), halton(i, 3), halton(i, 5));
    const Eigen::Vector3d x = low + part.cwiseProduct(high - low);
    if ((((mesh.centres.rowwise() - x.transpose()).rowwise().norm()).array() < clear * mesh.sizes.array()).any())
      continue;
    double solid_angle = 0;  // over -4 pi: -1 inside, 0 outside
    for (int e = 0; e < int(mesh.elements.size()); ++e) solid_angle += integrator.from(x, e).static_double;
    if (solid_angle < -0.5) points.row(found++) = x;
  }
  return points.topRows(found);
}

}  // namespace

SurfaceSound solve_outside(const SurfaceMesh &mesh, const OutsideAir &air, double frequency,
                           const Eigen::MatrixXcd &velocity) {
  const int n = int(mesh.elements.size());
  assert(std::isfinite(frequency) && frequency > 0 && velocity.rows() == n);
  if (!is_closed(mesh) || enclosed_volume(mesh) <= 0)
    throw SolveError("sound outside: the surface is not closed with its normals outwards");
  SurfaceSound sound{air, frequency, wave_number(air, frequency), velocity, {}};
  const ElementIntegrator integrator(mesh, sound.k);
  const Eigen::Matrix<double, Eigen::Dynamic, 3> inside = points_inside(mesh, integrator);
  const int rows = n + int(inside.rows());

  Eigen::MatrixXcd left(rows, n), right(rows, velocity.cols()), single(block, n);
  for (int first = 0; first < rows; first += block) {
    const int count = std::min(block, rows - first);
    for (int i = first; i < first + count; ++i) {
      const bool on_surface = i < n;
      const Eigen::Vector3d x = on_surface ? mesh.centres.row(i) : inside.row(i - n);
      const double weight =
          on_surface ? std::sqrt(mesh.areas[i] / mesh.areas.sum()) : std::sqrt(inside_weight / double(inside.rows()));
      double static_double = 0;
      for (int j = 0; j < n; ++j) {
        if (j == i) continue;
        const ElementIntegrals e = integrator.from(x, j);
        left(i, j) = -weight * e.doubled;
        single(i - first, j) = weight * e.single;
        static_double += e.static_double;
      }
      if (!on_surface) continue;
      // A static potential of 1 inside and 0 outside: seen from the surface D0 1 = -1/2, which gives the own part.
      const ElementIntegrals own = integrator.from_own_middle(i);
      left(i, i) = weight * (0.5 - (-0.5 - static_double + own.doubled));
      single(i - first, i) = weight * own.single;
    }
    right.middleRows(first, count).noalias() = single.topRows(count) * velocity;
  }
  right *= Complex(0, 2 * pi * frequency * air.density);  // -dp/dn
  Eigen::MatrixXcd normal = Eigen::MatrixXcd::Zero(n, n);
  normal.selfadjointView<Eigen::Lower>().rankUpdate(left.adjoint());
  const Eigen::LLT<Eigen::Ref<Eigen::MatrixXcd>> factor(normal);
  sound.pressure = left.adjoint() * right;
  factor.solveInPlace(sound.pressure);
  if (factor.info() != Eigen::Success || !sound.pressure.allFinite())
    throw SolveError("sound outside: the equations of the surface are singular to working precision");
  return sound;
}

double elements_per_wave(const SurfaceMesh &mesh, const OutsideAir &air, double frequency) {
  return air.speed / frequency * std::sqrt(2.0) / mesh.sizes.maxCoeff();
}

Eigen::MatrixXcd pressure_at(const SurfaceMesh &mesh, const SurfaceSound &sound,
                             const Eigen::Matrix<double, Eigen::Dynamic, 3> &points) {
  const int n = int(mesh.elements.size());
  const ElementIntegrator integrator(mesh, sound.k);
  const Complex flux(0, 2 * pi * sound.frequency * sound.air.density);  // -dp/dn per velocity
  Eigen::MatrixXcd result(points.rows(), sound.pressure.cols());
  Eigen::RowVectorXcd doubled(n), single(n);
  for (int i = 0; i < int(points.rows()); ++i) {
    for (int j = 0; j < n; ++j) {
      const ElementIntegrals e = integrator.from(points.row(i), j);
      doubled(j) = e.doubled;
      single(j) = e.single;
    }
    result.row(i) = doubled * sound.pressure + flux * (single * sound.velocity);
  }
  return result;
}

}  // namespace stillbox
