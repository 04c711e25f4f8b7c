// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <array>
#include <vector>

#include "mesh/structure.h"
#include "solver/monopole_sound.h"

namespace stillbox {

/// A closed surface of quadrilaterals (bilinear, flat on a box) around a body, corners counter-clockwise seen from
/// outside, so that normals point into the air.
struct SurfaceMesh {
  Eigen::Matrix<double, Eigen::Dynamic, 3> nodes;    ///< m
  std::vector<std::array<int, 4>> elements;          ///< node numbers
  std::vector<int> wall;                             ///< per element: place in sound_walls, else -1
  std::vector<int> cut_out;                          ///< per element: index into that wall's Board::cut_outs, or -1
  Eigen::Matrix<double, Eigen::Dynamic, 3> centres;  ///< of elements, m: the collocation points
  Eigen::Matrix<double, Eigen::Dynamic, 3> normals;  ///< there, outwards
  Eigen::VectorXd areas, sizes;                      ///< m2; longest diagonal, m
};

constexpr int most_outside_elements = 3000;

/// The walls that make the outside, as boards: of a box in the order of Wall, -1 where there is none; of a [shape] in
/// the order of its boards.
std::vector<int> sound_walls(const Structure &structure);

/// Sets centres, normals, areas and sizes from nodes and elements.
void set_geometry(SurfaceMesh &mesh);

/// Every edge belongs to two elements that run along it in opposite directions.
bool is_closed(const SurfaceMesh &mesh);

/// 1/3 surface integral of x . n, m3: positive when the normals point outwards.
double enclosed_volume(const SurfaceMesh &mesh);

/// The place of a point x = (p, q), 0 <= p, q <= 1, of an element, and the vector whose length is the area per dp dq
/// and whose direction is the outward normal there.
struct SurfacePoint {
  Eigen::Vector3d at, normal_area;
};
SurfacePoint surface_point(const SurfaceMesh &mesh, int element, double p, double q);

/// A sphere about the origin from the six faces of a cube, n x n elements each at equal angles, nodes on the sphere.
SurfaceMesh sphere_surface(double radius, int n);

/// The surface of a box from (0, 0, 0) to the last ticks, one element between every two neighbouring ticks along each
/// axis. Ticks start at 0 and rise. Elements carry their wall: baffle at y = 0, left at x = 0, bottom at z = 0.
SurfaceMesh box_surface(const std::array<std::vector<double>, 3> &ticks);

/// The same with elements of even size, none longer than `size` (m), at least `least` along each axis.
SurfaceMesh box_surface(const Eigen::Vector3d &outer, double size, int least = 4);

/// The outer surface of a cabinet, cut-outs closed flush, for sound up to `up_to` Hz: `per_wave` elements a wavelength
/// (8 is good for about 0.2 dB in power, energy balance within 2 %) and none longer than a sixth of the longest side;
/// where that leaves room, elements are as many as `aimed_at`, for the shapes of modes and drivers. Feet, rims and what
/// stands proud are left out. An element belongs to a cut-out when its centre lies in it; how much of it does is told
/// by cut_out_shares. Of a [shape]: quadrilaterals by Gmsh over its outer faces (outside_shape.h), each with the wall
/// whose outer face is nearest. Errors: CaseError when there is no cabinet, or when it takes more than
/// most_outside_elements, naming the highest frequency that does not.
SurfaceMesh cabinet_surface(const Structure &structure, const OutsideAir &air, double up_to, double per_wave = 9,
                            int aimed_at = 700);

/// Elements of the coarsest cabinet_surface for this frequency.
int cabinet_elements(const Eigen::Vector3d &outer, const OutsideAir &air, double up_to, double per_wave = 9);

/// For each element the part of its area that lies within a cut-out of a cabinet's wall, 0 .. 1 (+ 1e-3), so that a
/// piston in it moves exactly its area of air whatever the mesh: sum of share x area is the cut-out's area as far as it
/// lies on the wall's face. `wall` is a Wall, `cut_out` the index in its board.
Eigen::VectorXd cut_out_shares(const SurfaceMesh &mesh, const Structure &structure, int wall, int cut_out);

}  // namespace stillbox
