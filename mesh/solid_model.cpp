// SPDX-License-Identifier: MIT
#include "mesh/solid_model.h"

#include <gmsh.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <map>
#include <numeric>
#include <set>

#include "mesh/gmsh_session.h"
#include "mesh/hex_mesh.h"
#include "mesh/mesh_error.h"
#include "mesh/step_file.h"

namespace stillbox {
namespace {

namespace occ = gmsh::model::occ;
using DimTags = gmsh::vectorpair;

// Gmsh's tolerances are absolute and suit lengths of about 1.
constexpr double to_mm = 1000;

int add_point(const Eigen::Vector3d &x) { return occ::addPoint(to_mm * x.x(), to_mm * x.y(), to_mm * x.z()); }

int add_polyhedron(const SolidBody &body) {
  std::vector<int> points, surfaces;
  for (const Eigen::Vector3d &corner : body.corners) points.push_back(add_point(corner));
  std::map<std::pair<int, int>, int> line_of;
  for (const std::vector<int> &face : body.faces) {
    std::vector<int> lines;
    for (std::size_t i = 0; i < face.size(); ++i) {
      const int a = face[i], b = face[(i + 1) % face.size()];
      const auto [it, is_new] = line_of.try_emplace(std::minmax(a, b), 0);
      if (is_new) it->second = occ::addLine(points[a], points[b]);
      lines.push_back(it->second);
    }
    surfaces.push_back(occ::addPlaneSurface({occ::addCurveLoop(lines)}));
  }
  return occ::addVolume({occ::addSurfaceLoop(surfaces, -1, true)});
}

int add_raised_profile(const SolidBody &body) {
  std::vector<int> loops;
  const auto place = [&](const Eigen::Vector2d &p) -> Eigen::Vector3d {
    return body.origin + p.x() * body.u + p.y() * body.v;
  };
  for (const ProfileLoop &loop : body.profile) {
    std::vector<int> points, curves;
    for (const ProfileEdge &edge : loop) points.push_back(add_point(place(edge.from)));
    for (std::size_t i = 0; i < loop.size(); ++i) {
      const int a = points[i], b = points[(i + 1) % points.size()];
      curves.push_back(loop[i].is_arc ? occ::addCircleArc(a, add_point(place(loop[i].centre)), b) : occ::addLine(a, b));
    }
    loops.push_back(occ::addCurveLoop(curves));
  }
  const int surface = occ::addPlaneSurface(loops);
  const Eigen::Vector3d rise = to_mm * body.height * body.u.cross(body.v);
  DimTags out;
  occ::extrude({{2, surface}}, rise.x(), rise.y(), rise.z(), out);
  for (const auto &[dim, tag] : out)
    if (dim == 3) return tag;
  throw MeshError("a profile could not be raised to a solid");
}

int add_body(const SolidBody &body) { return body.corners.empty() ? add_raised_profile(body) : add_polyhedron(body); }

DimTags volumes_in(const DimTags &list) {
  DimTags volumes;
  for (const auto &each : list)
    if (each.first == 3) volumes.push_back(each);
  return volumes;
}

// The body, or what of it lies in its room.
DimTags add_within(const Solids &solids, const SolidBody &body) {
  const DimTags whole{{3, add_body(body)}};
  if (body.within < 0) return whole;
  DimTags out;
  std::vector<DimTags> map;
  occ::intersect(whole, {{3, add_body(solids.rooms[body.within])}}, out, map);
  return volumes_in(out);
}

DimTags cut(const DimTags &from, const DimTags &tools) {
  if (from.empty()) return from;
  DimTags out;
  std::vector<DimTags> map;
  occ::cut(from, tools, out, map);
  return volumes_in(out);
}

// A cut-out as a body that goes through the board.
SolidBody cut_out_body(const Board &board, const CutOut &c) {
  SolidBody body;
  const double beyond = 0.01 * board.thickness();
  body.origin = board.at(0, 0, -beyond);
  body.u = board.u;
  body.v = board.v;
  body.height = board.thickness() + 2 * beyond;
  const double w = c.width / 2, h = c.height / 2, r = std::min(w, h);
  const auto at = [&](double x, double y) { return Eigen::Vector2d(c.centre + Eigen::Vector2d(x, y)); };
  if (c.is_circle()) {
    body.profile = {circle_loop(c.centre, w)};
  } else if (c.shape == CutOutShape::rectangle) {
    body.profile = {{{at(-w, -h)}, {at(w, -h)}, {at(w, h)}, {at(-w, h)}}};
  } else if (w > h) {
    const Eigen::Vector2d a = at(r - w, 0), b = at(w - r, 0);
    body.profile = {{{at(r - w, -r)},
                     {at(w - r, -r), true, b},
                     {at(w, 0), true, b},
                     {at(w - r, r)},
                     {at(r - w, r), true, a},
                     {at(-w, 0), true, a}}};
  } else {
    const Eigen::Vector2d a = at(0, r - h), b = at(0, h - r);
    body.profile = {{{at(r, r - h)},
                     {at(r, h - r), true, b},
                     {at(0, h), true, b},
                     {at(-r, h - r)},
                     {at(-r, r - h), true, a},
                     {at(0, -h), true, a}}};
  }
  return body;
}

struct Parts {
  std::vector<DimTags> of_board;
};

Parts make_parts(const Structure &s) {
  const Solids &solids = *s.solids;
  Parts parts;
  parts.of_board.resize(s.boards.size());
  if (!solids.step_file.empty()) {
    const StepShapes shapes = load_step_shapes(solids.step_file);
    for (std::size_t i = 0; i < solids.step_board.size(); ++i) {
      DimTags out;
      occ::importShapesNativePointer(shapes.solid(i), out);
      for (const auto &each : volumes_in(out)) parts.of_board[solids.step_board[i]].push_back(each);
    }
  }
  for (const SolidBody &body : solids.bodies) {
    const DimTags made = add_within(solids, body);
    auto &list = parts.of_board[body.board];
    list.insert(list.end(), made.begin(), made.end());
  }
  // Where two braces cross the one listed first runs through.
  if (solids.step_file.empty())
    for (std::size_t b = 0; b < s.boards.size(); ++b)
      for (std::size_t earlier = 0; earlier < b; ++earlier) {
        if (s.boards[b].role != BoardRole::brace || s.boards[earlier].role != BoardRole::brace) continue;
        DimTags copies;
        occ::copy(parts.of_board[earlier], copies);
        parts.of_board[b] = cut(parts.of_board[b], copies);
      }
  for (const SolidBody &opening : solids.openings)
    parts.of_board[opening.board] = cut(parts.of_board[opening.board], add_within(solids, opening));
  for (std::size_t b = 0; b < s.boards.size(); ++b) {
    DimTags tools;
    if (s.boards[b].role == BoardRole::wall)
      for (const SolidBody &body : solids.cuts) tools.emplace_back(3, add_body(body));
    for (std::size_t c = 0; c < s.boards[b].cut_outs.size(); ++c)
      if (std::find(solids.drawn.begin(), solids.drawn.end(), std::pair{int(b), int(c)}) == solids.drawn.end())
        tools.emplace_back(3, add_body(cut_out_body(s.boards[b], s.boards[b].cut_outs[c])));
    if (!tools.empty()) parts.of_board[b] = cut(parts.of_board[b], tools);
    if (parts.of_board[b].empty())
      throw MeshError("nothing is left of \"" + s.boards[b].name + "\": it lies outside the cabinet or is cut away");
  }
  return parts;
}

double volume_of(const DimTags &list) {
  double sum = 0;
  for (const auto &[dim, tag] : list) {
    double mass = 0;
    occ::getMass(dim, tag, mass);
    sum += std::abs(mass);
  }
  return sum / (to_mm * to_mm * to_mm);
}

// Joins all parts so that they share faces; volumes of each board afterwards.
std::vector<std::vector<int>> join(const Structure &s, const Parts &parts) {
  DimTags all, out;
  std::vector<int> board;
  for (std::size_t b = 0; b < parts.of_board.size(); ++b)
    for (const auto &each : parts.of_board[b]) {
      all.push_back(each);
      board.push_back(int(b));
    }
  std::vector<DimTags> pieces{all};
  if (all.size() > 1)
    occ::fragment({all.front()}, DimTags(all.begin() + 1, all.end()), out, pieces);
  else
    pieces = {all};
  occ::synchronize();
  std::map<int, int> owner;
  for (std::size_t i = 0; i < all.size(); ++i)
    for (const auto &[dim, tag] : pieces[i]) {
      if (dim != 3) continue;
      const auto [it, is_new] = owner.try_emplace(tag, board[i]);
      if (is_new || it->second == board[i]) continue;
      throw MeshError("\"" + s.boards[it->second].name + "\" and \"" + s.boards[board[i]].name +
                      "\" are in the same place: they share " + std::to_string(1e6 * volume_of({{3, tag}})) +
                      " cm3 of wood; take it away from one of them");
    }
  std::vector<std::vector<int>> volumes(s.boards.size());
  for (const auto &[tag, b] : owner) volumes[b].push_back(tag);
  return volumes;
}

// Names of the boards that do not hang together with the first one by a common face.
std::string loose_boards(const Structure &s, const std::vector<std::vector<int>> &volumes) {
  std::map<int, std::vector<int>> at_face;  // boards at each face
  for (std::size_t b = 0; b < volumes.size(); ++b)
    for (int tag : volumes[b]) {
      DimTags faces;
      gmsh::model::getBoundary({{3, tag}}, faces, false, false, false);
      for (const auto &[dim, face] : faces) at_face[face].push_back(int(b));
    }
  std::vector<int> group(volumes.size());
  std::iota(group.begin(), group.end(), 0);
  for (bool changed = true; changed;) {
    changed = false;
    for (const auto &[face, boards] : at_face)
      for (int a : boards)
        for (int b : boards)
          if (group[a] < group[b]) {
            group[b] = group[a];
            changed = true;
          }
  }
  std::string names;
  for (std::size_t b = 0; b < group.size(); ++b)
    if (group[b] != 0) names += (names.empty() ? "\"" : ", \"") + s.boards[b].name + "\"";
  return names;
}

template <typename Work>
auto with_gmsh(Work work) {
  start_gmsh();
  gmsh::clear();
  gmsh::model::add("solids");
  try {
    return work();
  } catch (const std::string &what) {
    throw MeshError("the solids could not be made: " + what);
  }
}

}  // namespace

ProfileLoop circle_loop(const Eigen::Vector2d &centre, double radius) {
  ProfileLoop loop;
  for (int i = 0; i < 3; ++i) {
    const double angle = 2 * M_PI * i / 3;
    loop.push_back({centre + radius * Eigen::Vector2d(std::cos(angle), std::sin(angle)), true, centre});
  }
  return loop;
}

std::vector<std::vector<int>> make_solid_model(const Structure &s) {
  return with_gmsh([&] { return join(s, make_parts(s)); });
}

std::vector<std::vector<int>> make_board_solids(const Structure &s) {
  return with_gmsh([&] {
    std::vector<std::vector<int>> volumes;
    for (const DimTags &list : make_parts(s).of_board) {
      volumes.emplace_back();
      for (const auto &[dim, tag] : list) volumes.back().push_back(tag);
    }
    occ::synchronize();
    return volumes;
  });
}

void make_outside_model(const Structure &s) {
  with_gmsh([&] {
    DimTags tools;
    for (const SolidBody &body : s.solids->cuts) tools.emplace_back(3, add_body(body));
    const DimTags whole{{3, add_body(s.solids->outside)}};
    if (!tools.empty()) cut(whole, tools);
    occ::synchronize();
    return 0;
  });
}

std::shared_ptr<const Solids> measured_solids(const Structure &s) {
  return with_gmsh([&]() -> std::shared_ptr<const Solids> {
    Solids solids = *s.solids;
    const Parts parts = make_parts(s);
    solids.board_volume.clear();
    for (const DimTags &list : parts.of_board) solids.board_volume.push_back(volume_of(list));
    solids.chamber_volume.clear();
    if (!solids.rooms.empty()) {
      DimTags room{{3, add_body(solids.rooms.front())}}, braces;
      for (std::size_t b = 0; b < s.boards.size(); ++b)
        if (s.boards[b].role == BoardRole::brace) {
          DimTags copies;
          occ::copy(parts.of_board[b], copies);
          braces.insert(braces.end(), copies.begin(), copies.end());
        }
      if (!braces.empty()) room = cut(room, braces);
      for (const auto &each : room) solids.chamber_volume.push_back(volume_of({each}));
      std::sort(solids.chamber_volume.rbegin(), solids.chamber_volume.rend());
      occ::remove(room, true);
    }
    const std::string loose = loose_boards(s, join(s, parts));
    if (!loose.empty())
      throw MeshError(loose + " touch no other board by a face, or only each other: move them or close the gap");
    return std::make_shared<const Solids>(std::move(solids));
  });
}

void write_step(const Structure &s, const std::string &path) {
  with_gmsh([&] {
    const Parts parts = make_parts(s);
    std::vector<NamedSolid> names;
    for (std::size_t b = 0; b < parts.of_board.size(); ++b)
      for (const auto &[dim, tag] : parts.of_board[b]) {
        NamedSolid solid;
        solid.name = s.boards[b].name;
        solid.layer = s.materials[s.boards[b].layers[0].material].name;
        occ::getCenterOfMass(dim, tag, solid.centre.x(), solid.centre.y(), solid.centre.z());
        solid.centre /= to_mm;
        names.push_back(solid);
      }
    occ::synchronize();
    const std::string between = path + ".brep";
    gmsh::write(between);
    try {
      write_named_step(between, names, path);
    } catch (...) {
      std::remove(between.c_str());
      throw;
    }
    std::remove(between.c_str());
    return 0;
  });
}

}  // namespace stillbox
