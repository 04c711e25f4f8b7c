// SPDX-License-Identifier: MIT
#include "mesh/case_solids.h"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include "mesh/mesh_error.h"
#include "mesh/solid_model.h"
#include "mesh/step_file.h"

namespace stillbox {
namespace {

std::vector<std::string> names_in(const StepShapes &shapes) {
  std::vector<std::string> names;
  for (std::size_t i = 0; i < shapes.size(); ++i) {
    const StepSolid &f = shapes.facts(i);
    names.push_back("\"" + f.name + "\"" + (f.layer.empty() ? "" : " on layer \"" + f.layer + "\""));
  }
  return names;
}

/// What the case says about one solid.
struct SolidSpec {
  Reader reader;
  std::string material;
};

/// Axes of a flat board seen from outside: v up, or back where the board lies level.
void set_axes(Board &board, const Eigen::Vector3d &normal) {
  const Eigen::Vector3d z = Eigen::Vector3d::UnitZ(), up = std::abs(normal.z()) > 0.9 ? Eigen::Vector3d::UnitY() : z;
  board.v = (up - up.dot(normal) * normal).normalized();
  board.u = board.v.cross(normal);
}

bool is_alike(const StressLaw &law) {
  return (law - rotate_about_normal(law, 0.7)).norm() < 1e-9 * law.norm() &&
         std::abs(law(0, 0) - law(2, 2)) < 1e-9 * law(0, 0) && std::abs(law(3, 3) - law(5, 5)) < 1e-9 * law(5, 5);
}

/// The board that stands for a solid: axes from its largest face, extent from its corners.
void build_board(Build &b, const SolidSpec &spec, const StepSolid &f, const Eigen::Vector3d &middle) {
  const Reader &r = spec.reader;
  Board board;
  board.name = f.name;
  register_name(b, r, "name", board.name);
  const std::string kind = r.has("kind") ? r.text("kind") : "wall";
  board.role = kind == "wall" ? BoardRole::wall : kind == "brace" ? BoardRole::brace : BoardRole::free;
  board.thickness_tolerance = r.length("thickness_tolerance");
  const int material = material_index(b, r, spec.material);
  bool is_flat = f.is_flat;
  Eigen::Vector3d normal = f.normal;
  if (r.has("normal")) {
    const auto n = r.numbers("normal", 3);
    normal = Eigen::Vector3d(n[0], n[1], n[2]);
    is_flat = true;
    if (normal.norm() < 1e-9) return r.refuse("normal", "a direction [x, y, z]", "all three cannot be zero");
    normal.normalize();
  }
  const Eigen::Vector3d from_middle = f.centre - middle;
  if (std::abs(normal.dot(from_middle)) > 1e-9 && normal.dot(from_middle) < 0) normal = -normal;
  double thickness = 0;
  if (f.is_round && !is_flat) {
    Eigen::Vector3d axis = f.axis.normalized();
    if (axis.sum() < 0) axis = -axis;
    Eigen::Vector3d foot = f.axis_point - axis.dot(f.axis_point) * axis;
    double least = 1e300, most = 0, low = 1e300, high = -1e300;
    Eigen::Vector3d mean = Eigen::Vector3d::Zero();
    for (const Eigen::Vector3d &x : f.corners) {
      const Eigen::Vector3d away = x - foot - axis.dot(x) * axis;
      least = std::min(least, away.norm());
      most = std::max(most, away.norm());
      low = std::min(low, axis.dot(x));
      high = std::max(high, axis.dot(x));
      mean += away / double(f.corners.size());
    }
    Bend bend;
    bend.centre = foot + low * axis;
    // Outside is where the axis is not seen from the middle of the whole: a hollow wall turns its back to the axis.
    const Eigen::Vector3d to_axis = bend.centre - middle - axis.dot(bend.centre - middle) * axis;
    bend.hollow = to_axis.norm() > most;
    bend.radius = bend.hollow ? least : most;
    thickness = most - least;
    // The seam lies opposite the wood's middle, or anywhere on a whole tube.
    Eigen::Vector3d seam = mean.norm() > 1e-3 * most ? Eigen::Vector3d(-mean.normalized()) : axis.unitOrthogonal();
    board.v = axis;
    const Eigen::Vector3d out = bend.hollow ? Eigen::Vector3d(-seam) : seam;
    board.u = axis.cross(out);
    board.bend = bend;
    board.layers = {{material, thickness, 0}};
    board.origin = bend.centre + (bend.hollow ? bend.radius + thickness : bend.radius - thickness) * seam;
    board.outline = {{0, 0}, {2 * M_PI * bend.radius, 0}, {2 * M_PI * bend.radius, high - low}, {0, high - low}};
    double first = 1e300, last = -1e300;
    for (const Eigen::Vector3d &x : f.corners) {
      const double a = board.coordinates_of(x).x();
      first = std::min(first, a);
      last = std::max(last, a);
    }
    if (mean.norm() > 1e-3 * most) board.outline = {{first, 0}, {last, 0}, {last, high - low}, {first, high - low}};
    if (r.has("grain")) return r.refuse("grain", "none for a bent board", "its grain runs round it; remove the key");
  } else {
    if (!is_flat && !is_alike(b.structure.materials[std::size_t(material)].law))
      return r.refuse_value("name", "\"" + f.name + "\"", "a board whose largest face is flat or part of a cylinder",
                            "its material is not alike in all directions: add normal = [x, y, z], the direction "
                            "through its thickness");
    if (!is_flat) normal = Eigen::Vector3d::UnitZ();
    set_axes(board, normal);
    Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300), high = -low;
    for (const Eigen::Vector3d &x : f.corners) {
      const Eigen::Vector3d p(x.dot(board.u), x.dot(board.v), x.dot(normal));
      low = low.cwiseMin(p);
      high = high.cwiseMax(p);
    }
    thickness = high.z() - low.z();
    board.origin = low.x() * board.u + low.y() * board.v + low.z() * normal;
    const Eigen::Vector3d size = high - low;
    board.outline = {{0, 0}, {size.x(), 0}, {size.x(), size.y()}, {0, size.y()}};
    double angle = size.x() >= size.y() ? 0 : M_PI / 2;
    if (r.has("grain")) {
      const auto g = r.numbers("grain", 3);
      const Eigen::Vector3d grain(g[0], g[1], g[2]);
      if (grain.norm() < 1e-9 || std::abs(grain.normalized().dot(normal)) > 0.5)
        return r.refuse("grain", "a direction [x, y, z] in the plane of the board", "it points through the thickness");
      angle = std::atan2(grain.dot(board.v), grain.dot(board.u));
    }
    board.layers = {{material, thickness, angle}};
  }
  if (board.thickness_tolerance > thickness / 2)
    return r.refuse("thickness_tolerance", "less than half the thickness", "the solid is thinner than that");
  BoardInfo info;
  info.place = r.place("name");
  info.kind = board.role == BoardRole::wall ? "wall" : board.role == BoardRole::brace ? "shelf" : "board";
  info.user_size = outline_bounds(board).second - outline_bounds(board).first;
  add_board(b, board, info);
}

/// The holes of a flat board's largest face as cut-outs; nothing when there is one of another kind.
std::optional<std::vector<CutOut>> holes_of(const Board &board, const StepSolid &f) {
  std::vector<CutOut> list;
  if (board.bend || !f.is_flat) return list;
  for (const StepHole &hole : f.holes) {
    if (!hole.is_known) return std::nullopt;
    Eigen::Vector2d low(1e300, 1e300), high(-1e300, -1e300);
    for (const Eigen::Vector3d &x : hole.points) {
      const Eigen::Vector3d p = board.coordinates_of(x);
      low = low.cwiseMin(Eigen::Vector2d(p.x(), p.y()));
      high = high.cwiseMax(Eigen::Vector2d(p.x(), p.y()));
    }
    CutOut c;
    c.centre = (low + high) / 2;
    c.width = high.x() - low.x();
    c.height = high.y() - low.y();
    bool fits = true;
    for (const Eigen::Vector3d &line : hole.lines)
      fits = fits && std::max(std::abs(line.dot(board.u)), std::abs(line.dot(board.v))) > 1 - 1e-9;
    const bool is_one_centre =
        std::all_of(hole.arc_centres.begin(), hole.arc_centres.end(),
                    [&](const Eigen::Vector3d &centre) { return (centre - hole.arc_centres.front()).norm() < 1e-7; });
    if (hole.lines.empty() && is_one_centre)
      c.shape = CutOutShape::round;
    else if (hole.arc_centres.empty() && hole.lines.size() == 4)
      c.shape = CutOutShape::rectangle;
    else if (hole.lines.size() == 2 && std::abs(2 * hole.arc_radius - std::min(c.width, c.height)) < 1e-6)
      c.shape = CutOutShape::slot;
    else
      fits = false;
    if (!fits) return std::nullopt;
    if (c.shape == CutOutShape::round) c.width = c.height = 2 * hole.arc_radius;
    list.push_back(c);
  }
  std::sort(list.begin(), list.end(), [](const CutOut &a, const CutOut &b) {
    return std::pair(a.centre.y(), a.centre.x()) < std::pair(b.centre.y(), b.centre.x());
  });
  for (std::size_t i = 0; i < list.size(); ++i)
    list[i].name = board.name + " hole" + (list.size() > 1 ? " " + std::to_string(i + 1) : "");
  return list;
}

/// True when the solid is the board's rectangle with these holes and nothing else.
bool is_plate(const Board &board, const StepSolid &f, const std::vector<CutOut> &holes) {
  if (!is_axis_aligned_box(board)) return false;
  double area = outline_area(board);
  for (const CutOut &c : holes) area -= cut_out_area(c);
  return std::abs(area * board.thickness() - f.volume) < 1e-6 * f.volume;
}

/// Where the six walls of a box are among the boards: the frame that box commands need.
void find_frame(Structure &s) {
  CabinetFrame frame;
  Eigen::Vector3d low = Eigen::Vector3d::Constant(1e300), high = -low;
  for (const Board &board : s.boards) {
    const auto [from, to] = world_bounds(board);
    low = low.cwiseMin(from);
    high = high.cwiseMax(to);
  }
  for (Board &board : s.boards) board.origin -= low;
  frame.outer = high - low;
  for (int w = 0; w < 6; ++w) {
    const Eigen::Vector3d outwards = (is_low_wall(w) ? -1 : 1) * Eigen::Vector3d::Unit(wall_axis(w));
    for (std::size_t b = 0; b < s.boards.size(); ++b)
      if (s.boards[b].name == wall_name[std::size_t(w)] && s.boards[b].normal().dot(outwards) > 0.5)
        frame.walls[std::size_t(w)] = int(b);
    if (frame.walls[std::size_t(w)] < 0) return;
    const double thickness = s.boards[std::size_t(frame.walls[std::size_t(w)])].thickness();
    const int a = wall_axis(w);
    is_low_wall(w) ? frame.inner_low[a] = thickness : frame.inner_high[a] = frame.outer[a] - thickness;
  }
  s.cabinet = frame;
}

void add_drawn(Build &b, std::size_t board, const std::vector<CutOut> &holes, const Reader &r) {
  auto &cut_outs = b.structure.boards[board].cut_outs;
  for (const CutOut &c : holes) {
    b.cut_outs.push_back({c.name, int(board), int(cut_outs.size()), r.place("name"), false});
    cut_outs.push_back(c);
  }
}

void refuse_all(Build &b, std::initializer_list<const char *> keys, const std::string &what) {
  for (const char *key : keys)
    if (b.root.has(key)) {
      b.root.refuse(key, "not with " + what, "remove it, or describe a box by [cabinet]");
      b.values_ok = false;
    }
}

}  // namespace

bool is_of_solids(Build &b) {
  const bool shape = b.root.has("shape"), solids = b.root.has("solids");
  if (!shape && !solids) return false;
  if (shape && solids) {
    b.root.refuse("solids", "one of [shape] and [solids]", "remove one of the two");
    b.values_ok = false;
  }
  const std::string what = shape ? "[shape]" : "[solids]";
  refuse_all(b, {"cabinet", "board", "sheet", "crossing", "bond", "edge_support", "lining", "place"}, what);
  if (!shape) refuse_all(b, {"brace", "port", "filling"}, what);
  return true;
}

void read_step_solids(Build &b) {
  const auto r = b.root.table("solids", {"solids"});
  if (!r) {
    b.values_ok = false;
    return;
  }
  std::optional<StepShapes> shapes;
  std::string path;
  read_cleanly(b, [&] {
    r->refuse_unknown_keys();
    const std::string name = r->text("file");
    if (name.empty()) return;
    const std::string here = r->node->file ? *r->node->file : "";
    path = (std::filesystem::path(here).parent_path() / name).string();
    try {
      shapes = load_step_shapes(path);
    } catch (const StepError &error) {
      r->refuse("file", "a STEP file beside the case file or with its path", error.what());
    }
  });
  if (!shapes) return;
  const std::vector<std::string> found = names_in(*shapes);
  std::vector<std::optional<SolidSpec>> specs(shapes->size());
  read_cleanly(b, [&] {
    // By layer first: a solid that is named has its own say.
    for (const char *key : {"layer", "named"})
      for (const Reader &s : r->tables(key, {std::string("solid ") + key}, 400)) {
        s.refuse_unknown_keys();
        const std::string name = s.text("name"), material = s.text("material");
        if (name.empty() || material.empty()) continue;
        bool any = false;
        for (std::size_t i = 0; i < shapes->size(); ++i) {
          const StepSolid &f = shapes->facts(i);
          if ((std::string(key) == "layer" ? f.layer : f.name) != name) continue;
          specs[i] = SolidSpec{s, material};
          any = true;
        }
        if (!any)
          s.refuse(
              "name", joined(found),
              std::string("the file has no solid ") + (std::string(key) == "layer" ? "on this layer" : "of this name"));
      }
    std::string missing;
    for (std::size_t i = 0; i < specs.size(); ++i)
      if (!specs[i]) missing += (missing.empty() ? "" : ", ") + found[i];
    if (!missing.empty()) b.values_ok = false;  // also when another mistake, said already, is behind it
    if (!missing.empty() && b.problems().list.empty())
      r->refuse_value("named", "nothing for " + missing, "a [[solids.named]] or [[solids.layer]] for every solid",
                      "the file holds " + joined(found, 60));
  });
  if (!b.values_ok) return;
  Eigen::Vector3d middle = Eigen::Vector3d::Zero();
  double whole = 0;
  for (std::size_t i = 0; i < shapes->size(); ++i) {
    middle += shapes->facts(i).volume * shapes->facts(i).centre;
    whole += shapes->facts(i).volume;
  }
  middle /= whole;
  Solids solids;
  solids.step_file = path;
  solids.no_box = r->text("elements") == "tetrahedra" ? "the case asks for them"
                                                      : "the file's solids are not all plates along x, y and z";
  read_cleanly(b, [&] {
    for (std::size_t i = 0; i < shapes->size(); ++i) {
      build_board(b, *specs[i], shapes->facts(i), middle);
      solids.step_board.push_back(int(i));
    }
  });
  if (!b.values_ok) return;
  std::vector<std::vector<CutOut>> holes;
  bool plates = r->text("elements") != "tetrahedra";
  for (std::size_t i = 0; i < shapes->size(); ++i) {
    const auto found_holes = holes_of(b.structure.boards[i], shapes->facts(i));
    holes.push_back(found_holes.value_or(std::vector<CutOut>()));
    plates = plates && found_holes && is_plate(b.structure.boards[i], shapes->facts(i), holes.back());
  }
  if (plates) {
    b.structure.solids = std::make_shared<const Solids>(solids);
    measure(b);  // for overlaps and gaps
    b.structure.solids.reset();
    if (!b.values_ok) return;
    for (std::size_t i = 0; i < holes.size(); ++i) add_drawn(b, i, holes[i], specs[i]->reader);
    read_cut_outs(b);
    find_frame(b.structure);
    share_overlaps(b);
    if (b.values_ok) check_cut_outs(b);
    return;
  }
  read_cut_outs(b);
  for (const CutOutInfo &info : b.cut_outs)
    if (b.structure.boards[std::size_t(info.board)].bend) {
      b.problems().add(info.place, "\"" + info.name + "\"", "flat boards",
                       "draw cut-outs of bent boards in the STEP file");
      b.values_ok = false;
    }
  if (b.values_ok) read_cleanly(b, [&] { check_cut_outs(b); });
  for (std::size_t i = 0; i < holes.size(); ++i) {
    const std::size_t first = b.structure.boards[i].cut_outs.size();
    add_drawn(b, i, holes[i], specs[i]->reader);
    for (std::size_t c = 0; c < holes[i].size(); ++c) solids.drawn.emplace_back(int(i), int(first + c));
  }
  b.structure.solids = std::make_shared<const Solids>(std::move(solids));
}

void measure(Build &b) {
  if (!b.values_ok || !b.structure.solids) return;
  try {
    b.structure.solids = measured_solids(b.structure);
  } catch (const MeshError &error) {
    const bool step = !b.structure.solids->step_file.empty();
    b.root.refuse_value(step ? "solids" : "shape", step ? "\"" + b.structure.solids->step_file + "\"" : "this shape",
                        "boards that touch and do not overlap", error.what());
    b.values_ok = false;
  }
}

}  // namespace stillbox
