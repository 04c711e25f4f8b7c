// SPDX-License-Identifier: MIT
#pragma once
#include <Eigen/Dense>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

namespace stillbox {

/// A STEP file (ISO 10303-21) that cannot be used; the text says why and what to do.
struct StepError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// A hole in a flat face: its rim's straight edges (directions), arcs (radius, one for all, or 0), and points along it.
struct StepHole {
  std::vector<Eigen::Vector3d> lines, points;
  std::vector<Eigen::Vector3d> arc_centres;
  double arc_radius = 0;
  bool is_known = true;  ///< of nothing but lines and arcs of one radius
};

/// A solid of a STEP file; lengths in m. A name that several solids share is followed by 2, 3, ...
struct StepSolid {
  std::string name, layer;  ///< empty where the file has none
  double volume = 0;
  Eigen::Vector3d centre{0, 0, 0};  ///< of gravity
  /// Its largest face: flat, round (part of a cylinder) or neither.
  bool is_flat = false, is_round = false;
  Eigen::Vector3d point{0, 0, 0}, normal{0, 0, 1};  ///< flat: a point of it, unit normal outwards
  Eigen::Vector3d axis_point{0, 0, 0}, axis{0, 0, 1};
  double radius = 0;
  bool is_hollow = false;                ///< round: wood lies outside the cylinder
  std::vector<StepHole> holes;           ///< flat: of that face
  std::vector<Eigen::Vector3d> corners;  ///< vertices and points along curved edges
};

/// The solids of a file as OpenCASCADE keeps them; `solid(i)` is a TopoDS_Shape for Gmsh, valid while this lives.
class StepShapes {
 public:
  struct Kept;
  explicit StepShapes(std::shared_ptr<Kept> kept) : kept_(std::move(kept)) {}
  std::size_t size() const;
  const void *solid(std::size_t i) const;
  const StepSolid &facts(std::size_t i) const;
  /// True when all these places (m) lie within the solid or on its surface (1 um).
  bool holds(std::size_t i, const std::vector<Eigen::Vector3d> &places) const;

 private:
  std::shared_ptr<Kept> kept_;
};

/// Reads a file; the one read last is remembered until it changes on the disk. Errors: StepError: no such file, not a
/// STEP file, nothing that can be translated, no solid in it.
StepShapes load_step_shapes(const std::string &path);

/// What a solid is called in a file to be written; found by its centre of gravity (m).
struct NamedSolid {
  std::string name, layer;
  Eigen::Vector3d centre{0, 0, 0};
};
/// Writes the solids of a BRep file as STEP (AP214, mm) with names and layers. Errors: StepError.
void write_named_step(const std::string &brep_path, const std::vector<NamedSolid> &names, const std::string &path);

}  // namespace stillbox
