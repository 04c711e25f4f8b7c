// SPDX-License-Identifier: MIT
#pragma once
#include <complex>
#include <vector>

#include "solver/outside_mesh.h"

namespace stillbox {

/// Integrals over one element of the fundamental solution G = exp(-i k r) / (4 pi r), r = |y - x|, of its derivative
/// along the outward normal at y on the element, and of that for k = 0.
struct ElementIntegrals {
  std::complex<double> single, doubled;  ///< G, dG/dny
  double static_double = 0;              ///< dG0/dny
};

/// Integrates over elements as seen from points outside of them: 2 x 2 Gauss points from a distance (to the middle) of
/// 3 diagonals on, 4 x 4 from 1.2, else the element is quartered, each quarter judged alike.
class ElementIntegrator {
 public:
  ElementIntegrator(const SurfaceMesh &mesh, double k);

  /// x not on the element. Relative error about 1e-4 of the largest integral.
  ElementIntegrals from(const Eigen::Vector3d &x, int element) const;

  /// x the middle of the element: G as a whole, dG/dny as the difference to the static one (which is given as 0), by
  /// triangles about the middle with the Jacobian that cancels 1/r (Duffy). The static one follows from a closed
  /// surface: the integral of dG0/dny is -1/2, seen from the surface.
  ElementIntegrals from_own_middle(int element) const;

 private:
  struct Point {
    Eigen::Vector3d at, normal_area;
  };
  void add(const Eigen::Vector3d &x, const Point &point, ElementIntegrals &sum) const;
  void add_part(const Eigen::Vector3d &x, int element, double p, double q, double part, int depth,
                ElementIntegrals &sum) const;

  const SurfaceMesh &mesh_;
  double k_;
  std::vector<Point> two_, four_;  // 4 and 16 an element
};

}  // namespace stillbox
