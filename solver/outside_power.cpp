// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/gauss_legendre.h"
#include "solver/outside_sound.h"

namespace stillbox {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double third = 0.57735026918962576451;  // Gauss point of order 2 on -1 .. 1
using Complex = std::complex<double>;

// Far field over all directions about the middle of the body, and the weights of the directions.
struct FarField {
  Eigen::MatrixXcd pressure;
  Eigen::VectorXd weight;
};

FarField far_field(const SurfaceMesh &mesh, const SurfaceSound &sound) {
  const Eigen::RowVector3d middle = (mesh.nodes.colwise().maxCoeff() + mesh.nodes.colwise().minCoeff()) / 2;
  const double reach = (mesh.nodes.rowwise() - middle).rowwise().norm().maxCoeff();
  const Directions d = all_directions(int(std::ceil(sound.k * reach)) + 10);
  return {far_pressure(mesh, sound, d.unit, middle.transpose()), d.weight};
}

}  // namespace

Directions all_directions(int n) {
  assert(n > 0);
  const GaussRule rule = gauss_legendre(n);
  Directions d;
  d.unit.resize(2 * n * n, 3);
  d.weight.resize(2 * n * n);
  for (int i = 0; i < n; ++i) {
    const double z = rule.point[i], ring = std::sqrt(1 - z * z);
    for (int j = 0; j < 2 * n; ++j) {
      const double angle = pi * (j + 0.5) / n;
      d.unit.row(2 * n * i + j) << ring * std::cos(angle), ring * std::sin(angle), z;
      d.weight[2 * n * i + j] = rule.weight[i] * pi / n;
    }
  }
  return d;
}

Eigen::MatrixXcd far_pressure(const SurfaceMesh &mesh, const SurfaceSound &sound,
                              const Eigen::Matrix<double, Eigen::Dynamic, 3> &directions,
                              const Eigen::Vector3d &about) {
  const int n = int(mesh.elements.size()), count = int(directions.rows());
  const Complex flux(0, 2 * pi * sound.frequency * sound.air.density);  // -dp/dn per velocity
  // F = 1 / (4 pi) integral of (i k n.d p - dp/dn) exp(i k d.(y - about)).
  Eigen::MatrixXcd dipole = Eigen::MatrixXcd::Zero(count, n), monopole = Eigen::MatrixXcd::Zero(count, n);
  for (int e = 0; e < n; ++e)
    for (int g = 0; g < 4; ++g) {
      const SurfacePoint s =
          surface_point(mesh, e, 0.5 + (g % 2 ? third : -third) / 2, 0.5 + (g / 2 ? third : -third) / 2);
      const double area = s.normal_area.norm() / 4;
      const Eigen::Vector3d from = s.at - about;
      for (int i = 0; i < count; ++i) {
        const double phase = sound.k * directions.row(i).dot(from);
        const Complex wave(std::cos(phase), std::sin(phase));
        monopole(i, e) += wave * area;
        dipole(i, e) += wave * Complex(0, sound.k * directions.row(i).dot(s.normal_area) / 4);
      }
    }
  return (dipole * sound.pressure + flux * (monopole * sound.velocity)) / (4 * pi);
}

Eigen::VectorXd surface_power(const SurfaceMesh &mesh, const SurfaceSound &sound) {
  return 0.5 * (sound.velocity.conjugate().cwiseProduct(sound.pressure).real().transpose() * mesh.areas);
}

Eigen::VectorXd far_power(const SurfaceMesh &mesh, const SurfaceSound &sound) {
  const FarField far = far_field(mesh, sound);
  return far.pressure.cwiseAbs2().transpose() * far.weight / (2 * sound.air.density * sound.air.speed);
}

RadiationImpedance radiation_impedance(const SurfaceMesh &mesh, const SurfaceSound &sound,
                                       const Eigen::MatrixXd &shapes) {
  assert(shapes.rows() == sound.pressure.rows() && shapes.cols() == sound.pressure.cols());
  const FarField far = far_field(mesh, sound);
  const Eigen::MatrixXcd by_surface = (mesh.areas.asDiagonal() * shapes).transpose() * sound.pressure;
  const Eigen::MatrixXd resistance =
      (far.pressure.adjoint() * far.weight.asDiagonal() * far.pressure).real() / (sound.air.density * sound.air.speed);
  const Eigen::MatrixXd x = by_surface.imag();
  RadiationImpedance result;
  result.z.resize(x.rows(), x.cols());
  result.z.real() = (resistance + resistance.transpose()) / 2;
  result.z.imag() = (x + x.transpose()) / 2;
  const Eigen::VectorXd size = result.z.diagonal().cwiseAbs().cwiseSqrt();
  for (int j = 0; j < x.cols(); ++j)
    for (int i = 0; i < j; ++i)
      if (size[i] * size[j] > 0)
        result.asymmetry = std::max(result.asymmetry, std::abs(x(i, j) - x(j, i)) / (size[i] * size[j]));
  result.energy = by_surface.diagonal().real().cwiseQuotient(result.z.diagonal().real()).array() - 1;
  return result;
}

}  // namespace stillbox
