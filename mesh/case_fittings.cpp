// SPDX-License-Identifier: MIT
#include <cmath>

#include "mesh/case_build.h"
#include "mesh/length.h"

namespace stillbox {
namespace {

/// The estimate the key reference promises: a solid cylinder of the rim's mean diameter D and the length D/2.
Eigen::Vector3d cylinder_inertia(double mass, double diameter) {
  const double length = diameter / 2;
  const double across = mass * (diameter * diameter / 16 + length * length / 12);
  return {across, across, mass * diameter * diameter / 8};
}

void read_driver_values(const Reader &r, RimMass &driver) {
  r.refuse_unknown_keys();
  const std::string cut_out = r.text("cut_out");
  driver.name = r.has("name") ? r.text("name") : cut_out + " driver";
  driver.mass = r.number("mass_kg");
  driver.rigid_basket = r.text("mounting") == "rigid basket";
  driver.depth_of_gravity = r.length("centre_of_gravity_behind_face");
  if (r.has("inertia_kg_m2")) {
    const auto inertia = r.numbers("inertia_kg_m2", 3);
    driver.inertia = {inertia[0], inertia[1], inertia[2]};
    for (int a = 0; a < 3; ++a)
      if (driver.inertia[a] > (driver.inertia[(a + 1) % 3] + driver.inertia[(a + 2) % 3]) * (1 + 1e-9)) {
        r.refuse("inertia_kg_m2", "each at most the sum of the two others",
                 "no body has such moments of inertia; check them");
        break;
      }
  }
  driver.small_signal = read_small_signal(r);
  if (!driver.rigid_basket)
    for (const char *key : {"centre_of_gravity_behind_face", "inertia_kg_m2"})
      if (r.has(key)) r.refuse(key, "only with mounting = \"rigid basket\"", "remove it or make the basket rigid");
}

}  // namespace

void read_drivers(Build &b) {
  for (const Reader &r : b.root.tables("driver", {"driver"}, 100)) {
    RimMass driver;
    const bool clean = read_cleanly(b, [&] {
      read_driver_values(r, driver);
      register_name(b, r, r.has("name") ? "name" : "cut_out", driver.name);
    });
    if (!clean || !b.values_ok) continue;
    const std::string name = r.text("cut_out");
    CutOutInfo *found = nullptr;
    std::vector<std::string> known;
    for (CutOutInfo &info : b.cut_outs) {
      if (info.name.empty()) continue;
      known.push_back(info.name);
      if (info.name == name) found = &info;
    }
    if (!found) {
      const std::string near = suggestion(name, known);
      r.refuse("cut_out", known.empty() ? "a [[cut_out]] of this file" : joined(known),
               near.empty() ? "there is no cut-out of this name" : "there is no cut-out of this name: " + near);
      continue;
    }
    if (found->has_driver) {
      r.refuse("cut_out", "one driver per cut-out", "another driver already sits there; remove one");
      continue;
    }
    found->has_driver = true;
    driver.board = found->board;
    driver.cut_out = found->index;
    const CutOut &c = b.structure.boards[driver.board].cut_outs[driver.cut_out];
    const double diameter = (c.width + c.height) / 2;
    if (driver.rigid_basket && !r.has("centre_of_gravity_behind_face")) driver.depth_of_gravity = diameter / 4;
    if (driver.rigid_basket && !r.has("inertia_kg_m2")) driver.inertia = cylinder_inertia(driver.mass, diameter);
    if (b.info[driver.board].swapped) std::swap(driver.inertia[0], driver.inertia[1]);
    if (driver.small_signal && driver.small_signal->cone_area > cut_out_area(c) * (1 + 1e-9)) {
      r.refuse("cone_area_cm2", "up to " + number_text(1e4 * cut_out_area(c)) + " cm2, the area of its cut-out",
               "give the effective area in cm2, from the middle of the surround");
      continue;
    }
    b.structure.rim_masses.push_back(driver);
  }
}

FacePoint read_face(Build &b, const Reader &r, bool default_high_on_wall, bool default_high_elsewhere) {
  FacePoint face;
  face.board = find_board(b, r, "on");
  if (face.board < 0) return face;
  const bool is_wall = b.info[face.board].kind == "wall";
  face.on_high_side = is_wall ? default_high_on_wall : default_high_elsewhere;
  if (r.has("face")) {
    const std::string word = r.text("face");
    if ((word == "outer" || word == "inner") != is_wall) {
      r.refuse("face", is_wall ? "outer, inner" : "low, high",
               is_wall ? "a wall has an outer and an inner face" : "a brace or free board has a low and a high face");
      face.board = -1;
      return face;
    }
    face.on_high_side = word == "outer" || word == "high";
  }
  return face;
}

bool settle_on_sheet(Build &b, const Reader &r, const std::string &key, FacePoint &face, Eigen::Vector2d &low,
                     Eigen::Vector2d &high) {
  const Board &carrier = b.structure.boards[face.board];
  for (std::size_t i = 0; i < b.structure.boards.size(); ++i) {
    const Board &sheet = b.structure.boards[i];
    if (sheet.role != BoardRole::sheet || sheet.attached_to != face.board) continue;
    if (((sheet.origin - carrier.origin).dot(carrier.normal()) > 0) != face.on_high_side) continue;
    const Eigen::Vector2d shift = b.info[i].offset - b.info[face.board].offset, size = outline_bounds(sheet).second;
    const double inside = std::min((low - shift).minCoeff(), (size + shift - high).minCoeff());
    const double beside = std::max((low - shift - size).maxCoeff(), (shift - high).maxCoeff());
    if (beside >= -1e-9) {
      if (inside < -1e-9 || beside > 1e-9) continue;  // a point on the sheet's edge sits on the sheet
    } else if (inside < -1e-9) {
      r.refuse(key, "a place wholly on or wholly beside \"" + sheet.name + "\"",
               "lies across the edge of this sheet; move it");
      return false;
    }
    face.board = int(i);
    low -= shift;
    high -= shift;
    return true;
  }
  return true;
}

void read_masses(Build &b) {
  for (const Reader &r : b.root.tables("mass", {"mass"}, 200)) {
    std::string name;
    std::vector<double> from, to;
    double mass = 0;
    const bool is_area = r.has("area");
    const bool clean = read_cleanly(b, [&] {
      r.refuse_unknown_keys();
      name = r.text("name");
      register_name(b, r, "name", name);
      r.text("on");
      if (r.has("face")) r.text("face");
      mass = r.number("mass_kg");
      if (is_area == r.has("at")) {
        r.refuse(is_area ? "area" : "at", "one of at and area",
                 is_area ? "remove one of the two" : "add at = [across, up]");
      } else if (is_area) {
        const auto area = r.table("area", {"area"});
        if (!area) return;
        area->refuse_unknown_keys();
        const auto centre = area->lengths("centre", 2, 2), size = area->lengths("size", 2, 2);
        for (int k = 0; k < 2; ++k) {
          from.push_back(centre[k] - size[k] / 2);
          to.push_back(centre[k] + size[k] / 2);
        }
      } else {
        from = to = r.lengths("at", 2, 2);
      }
    });
    if (!clean || !b.values_ok) continue;
    FacePoint face = read_face(b, r, false, true);
    if (face.board < 0) continue;
    Eigen::Vector2d low = to_board(b.info[face.board], from), high = to_board(b.info[face.board], to);
    const std::string key = is_area ? "area" : "at";
    if (!settle_on_sheet(b, r, key, face, low, high)) continue;
    if (!is_on_free_face(b, r, key, face, low, high)) continue;
    if (is_area)
      b.structure.area_masses.push_back({name, face.board, face.on_high_side, low, high, mass});
    else
      b.structure.point_masses.push_back({name, face.board, face.on_high_side, low, mass});
  }
}

}  // namespace stillbox
