// SPDX-License-Identifier: MIT
#include "postprocess/cabinet_net.h"

#include <algorithm>
#include <limits>
#include <optional>

namespace stillbox {
namespace {

bool can_draw(const FaceSamples &face) {
  return face.nu >= 2 && face.nv >= 2 && face.size.minCoeff() > 0 &&
         std::find(face.present.begin(), face.present.end(), 1) != face.present.end();
}

Eigen::Vector3d far_corner(const FaceSamples &face) {
  return face.origin + face.size[0] * face.u + face.size[1] * face.v;
}

/// World to sheet: x = across.p + shift_x, y = up.p + shift_y, with p measured from the cabinet's front lower left.
struct Fold {
  Eigen::Vector3d across, up;
  Eigen::Vector2d shift;
};

std::optional<Fold> fold_of(const std::string &wall, const Eigen::Vector3d &outer, double gap) {
  const Eigen::Vector3d x(1, 0, 0), y(0, 1, 0), z(0, 0, 1);
  if (wall == "baffle") return Fold{x, z, {0, 0}};
  if (wall == "left") return Fold{-y, z, {-gap, 0}};
  if (wall == "right") return Fold{y, z, {outer.x() + gap, 0}};
  if (wall == "back") return Fold{-x, z, {2 * outer.x() + outer.y() + 2 * gap, 0}};
  if (wall == "top") return Fold{x, y, {0, outer.z() + gap}};
  if (wall == "bottom") return Fold{x, -y, {0, -gap}};
  return std::nullopt;
}

void set_bounds(SheetLayout &layout, const std::vector<FaceSamples> &faces) {
  layout.low.setConstant(std::numeric_limits<double>::infinity());
  layout.high = -layout.low;
  for (const Placement &placement : layout.placements) {
    const Eigen::Vector2d &size = faces[placement.face].size;
    for (const Eigen::Vector2d &corner :
         {placement.corner, Eigen::Vector2d(placement.corner + size[0] * placement.along_u),
          Eigen::Vector2d(placement.corner + size[1] * placement.along_v),
          Eigen::Vector2d(placement.corner + size[0] * placement.along_u + size[1] * placement.along_v)}) {
      layout.low = layout.low.cwiseMin(corner);
      layout.high = layout.high.cwiseMax(corner);
    }
  }
  if (layout.placements.empty()) layout.low = layout.high = Eigen::Vector2d::Zero();
}

/// Walls of the net with their bounds in space.
std::vector<std::size_t> walls_of(const std::vector<FaceSamples> &faces, Eigen::Vector3d &low, Eigen::Vector3d &high) {
  std::vector<std::size_t> walls;
  low.setConstant(std::numeric_limits<double>::infinity());
  high = -low;
  for (std::size_t f = 0; f < faces.size(); ++f) {
    // Bent or leaning walls do not fold out to a net.
    const bool is_level = faces[f].u.cwiseAbs().maxCoeff() > 1 - 1e-9 && faces[f].v.cwiseAbs().maxCoeff() > 1 - 1e-9;
    if (faces[f].role == "wall" &&
        (faces[f].is_bent || !is_level || !fold_of(faces[f].board, Eigen::Vector3d::Zero(), 0)))
      return {};
    if (faces[f].role != "wall" || !can_draw(faces[f])) continue;
    walls.push_back(f);
    low = low.cwiseMin(faces[f].origin).cwiseMin(far_corner(faces[f]));
    high = high.cwiseMax(faces[f].origin).cwiseMax(far_corner(faces[f]));
  }
  return walls;
}

void place_side_by_side(SheetLayout &layout, const std::vector<FaceSamples> &faces, bool walls_only) {
  const bool any_wall = std::any_of(faces.begin(), faces.end(), [](const auto &face) { return face.role == "wall"; });
  const bool any_free = std::any_of(faces.begin(), faces.end(), [](const auto &face) { return face.role == "free"; });
  double largest = 0, x = 0;
  for (const FaceSamples &face : faces) largest = std::max(largest, face.size.maxCoeff());
  for (std::size_t f = 0; f < faces.size(); ++f) {
    if ((any_free ? faces[f].role != "free" : faces[f].role == "sheet") || !can_draw(faces[f])) continue;
    if (walls_only && any_wall && faces[f].role != "wall") continue;
    layout.placements.push_back({f, {x, 0}, {1, 0}, {0, 1}});
    x += faces[f].size[0] + 0.06 * largest;
  }
}

}  // namespace

SheetLayout lay_out(const std::vector<FaceSamples> &faces, bool walls_only) {
  SheetLayout layout;
  Eigen::Vector3d low, high;
  const std::vector<std::size_t> walls = walls_of(faces, low, high);
  if (walls.empty()) {
    place_side_by_side(layout, faces, walls_only);
  } else {
    layout.unfolded = true;
    const Eigen::Vector3d outer = high - low;
    const double gap = 0.03 * outer.maxCoeff();
    for (const std::size_t f : walls) {
      const Fold fold = *fold_of(faces[f].board, outer, gap);
      const Eigen::Vector3d from_low = faces[f].origin - low;
      layout.placements.push_back({f,
                                   {fold.across.dot(from_low) + fold.shift.x(), fold.up.dot(from_low) + fold.shift.y()},
                                   {fold.across.dot(faces[f].u), fold.up.dot(faces[f].u)},
                                   {fold.across.dot(faces[f].v), fold.up.dot(faces[f].v)}});
    }
  }
  set_bounds(layout, faces);
  return layout;
}

}  // namespace stillbox
